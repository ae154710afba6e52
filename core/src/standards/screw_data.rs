//! The figures behind [`super::screw`]: socket screws, clearance holes and counterbores.

/// A socket set screw; lengths in the unit of its standard.
pub(super) struct SetRow {
    pub(super) size: &'static str,
    /// Key across flats as people say it, and its decimal.
    pub(super) key: (&'static str, f64),
    /// Least engagement of the key (metric: of the long screws).
    pub(super) engagement: f64,
    /// Cup point, largest diameter.
    pub(super) cup: f64,
    /// Flat point (inch: as the cup), least and largest diameter.
    pub(super) flat: (f64, f64),
    /// Dog point (inch: half dog; metric: long dog), least and largest length.
    pub(super) dog_length: (f64, f64),
    /// Half dog, least and largest diameter; metric: as the flat point.
    pub(super) dog: (f64, f64),
    /// Seating torque: the table's value, the least and the largest that charts give; lbf·in or N·m.
    pub(super) torque: (f64, f64, f64),
    /// Holding power of a cup point along the shaft, lbf: textbook, lower chart; 0 where unknown.
    pub(super) holding: (f64, f64),
    /// Shortest and longest length.
    pub(super) lengths: (f64, f64),
}

#[rustfmt::skip]
pub(super) const SET_INCH: [SetRow; 10] = [
    SetRow { size: "4", key: ("0.050 in", 0.050), engagement: 0.070, cup: 0.061, flat: (0.051, 0.061), dog_length: (0.026, 0.030), dog: (0.070, 0.075), torque: (5.0, 5.0, 5.2), holding: (160.0, 0.0), lengths: (0.125, 0.5) },
    SetRow { size: "5", key: ("1/16 in", 0.0625), engagement: 0.080, cup: 0.067, flat: (0.057, 0.067), dog_length: (0.027, 0.033), dog: (0.078, 0.083), torque: (10.0, 7.7, 10.0), holding: (200.0, 0.0), lengths: (0.125, 0.5) },
    SetRow { size: "6", key: ("1/16 in", 0.0625), engagement: 0.080, cup: 0.074, flat: (0.064, 0.074), dog_length: (0.032, 0.038), dog: (0.087, 0.092), torque: (10.0, 10.0, 10.0), holding: (250.0, 100.0), lengths: (0.125, 0.75) },
    SetRow { size: "8", key: ("5/64 in", 0.078_125), engagement: 0.090, cup: 0.087, flat: (0.076, 0.087), dog_length: (0.037, 0.043), dog: (0.103, 0.109), torque: (20.0, 20.0, 20.0), holding: (385.0, 150.0), lengths: (0.125, 1.0) },
    SetRow { size: "10", key: ("3/32 in", 0.093_75), engagement: 0.100, cup: 0.102, flat: (0.088, 0.102), dog_length: (0.041, 0.049), dog: (0.120, 0.127), torque: (36.0, 25.0, 36.0), holding: (540.0, 200.0), lengths: (0.125, 1.0) },
    SetRow { size: "1/4", key: ("1/8 in", 0.125), engagement: 0.125, cup: 0.132, flat: (0.118, 0.132), dog_length: (0.059, 0.067), dog: (0.149, 0.156), torque: (87.0, 87.0, 87.0), holding: (1000.0, 400.0), lengths: (0.1875, 2.0) },
    SetRow { size: "5/16", key: ("5/32 in", 0.156_25), engagement: 0.156, cup: 0.172, flat: (0.156, 0.172), dog_length: (0.074, 0.082), dog: (0.195, 0.203), torque: (165.0, 165.0, 165.0), holding: (1500.0, 700.0), lengths: (0.25, 2.0) },
    SetRow { size: "3/8", key: ("3/16 in", 0.1875), engagement: 0.188, cup: 0.212, flat: (0.194, 0.212), dog_length: (0.089, 0.099), dog: (0.241, 0.250), torque: (290.0, 290.0, 290.0), holding: (2000.0, 1000.0), lengths: (0.25, 2.0) },
    SetRow { size: "7/16", key: ("7/32 in", 0.218_75), engagement: 0.219, cup: 0.252, flat: (0.232, 0.252), dog_length: (0.104, 0.114), dog: (0.287, 0.297), torque: (430.0, 430.0, 430.0), holding: (2500.0, 0.0), lengths: (0.375, 2.0) },
    SetRow { size: "1/2", key: ("1/4 in", 0.25), engagement: 0.250, cup: 0.291, flat: (0.270, 0.291), dog_length: (0.120, 0.130), dog: (0.334, 0.344), torque: (620.0, 620.0, 620.0), holding: (3000.0, 1500.0), lengths: (0.375, 2.0) },
];

#[rustfmt::skip]
pub(super) const SET_METRIC: [SetRow; 10] = [
    SetRow { size: "M2", key: ("0.9 mm", 0.9), engagement: 1.7, cup: 1.0, flat: (0.75, 1.0), dog_length: (1.0, 1.25), dog: (0.75, 1.0), torque: (0.21, 0.21, 0.21), holding: (0.0, 0.0), lengths: (2.5, 10.0) },
    SetRow { size: "M2.5", key: ("1.3 mm", 1.3), engagement: 2.0, cup: 1.2, flat: (1.25, 1.5), dog_length: (1.25, 1.5), dog: (1.25, 1.5), torque: (0.57, 0.57, 0.57), holding: (0.0, 0.0), lengths: (3.0, 12.0) },
    SetRow { size: "M3", key: ("1.5 mm", 1.5), engagement: 2.0, cup: 1.4, flat: (1.75, 2.0), dog_length: (1.5, 1.75), dog: (1.75, 2.0), torque: (0.92, 0.92, 0.92), holding: (0.0, 0.0), lengths: (3.0, 16.0) },
    SetRow { size: "M4", key: ("2 mm", 2.0), engagement: 2.5, cup: 2.0, flat: (2.25, 2.5), dog_length: (2.0, 2.25), dog: (2.25, 2.5), torque: (2.2, 2.2, 2.2), holding: (0.0, 0.0), lengths: (4.0, 20.0) },
    SetRow { size: "M5", key: ("2.5 mm", 2.5), engagement: 3.0, cup: 2.5, flat: (3.2, 3.5), dog_length: (2.5, 2.75), dog: (3.2, 3.5), torque: (4.0, 4.0, 4.6), holding: (0.0, 0.0), lengths: (5.0, 25.0) },
    SetRow { size: "M6", key: ("3 mm", 3.0), engagement: 3.5, cup: 3.0, flat: (3.7, 4.0), dog_length: (3.0, 3.25), dog: (3.7, 4.0), torque: (7.2, 7.2, 7.8), holding: (0.0, 0.0), lengths: (6.0, 30.0) },
    SetRow { size: "M8", key: ("4 mm", 4.0), engagement: 5.0, cup: 5.0, flat: (5.2, 5.5), dog_length: (4.0, 4.3), dog: (5.2, 5.5), torque: (17.0, 17.0, 18.0), holding: (0.0, 0.0), lengths: (8.0, 40.0) },
    SetRow { size: "M10", key: ("5 mm", 5.0), engagement: 6.0, cup: 6.0, flat: (6.64, 7.0), dog_length: (5.0, 5.3), dog: (6.64, 7.0), torque: (33.0, 33.0, 36.0), holding: (0.0, 0.0), lengths: (10.0, 50.0) },
    SetRow { size: "M12", key: ("6 mm", 6.0), engagement: 8.0, cup: 8.0, flat: (8.14, 8.5), dog_length: (6.0, 6.3), dog: (8.14, 8.5), torque: (54.0, 54.0, 54.0), holding: (0.0, 0.0), lengths: (12.0, 60.0) },
    SetRow { size: "M16", key: ("8 mm", 8.0), engagement: 10.0, cup: 10.0, flat: (11.57, 12.0), dog_length: (8.0, 8.36), dog: (11.57, 12.0), torque: (134.0, 134.0, 134.0), holding: (0.0, 0.0), lengths: (16.0, 60.0) },
];

/// A socket head cap screw: size, head diameter largest, head height largest, key; then the
/// counterbore's diameter, 0 where no table has one.
pub(super) type CapRow = (&'static str, f64, f64, (&'static str, f64), f64);

/// ASME B18.3, table 1A; counterbores ASME B18.3, appendix, table A-1 (from memory).
#[rustfmt::skip]
pub(super) const CAP_INCH: [CapRow; 17] = [
    ("0", 0.096, 0.060, ("0.050 in", 0.050), 0.125),
    ("1", 0.118, 0.073, ("1/16 in", 0.0625), 0.156_25),
    ("2", 0.140, 0.086, ("5/64 in", 0.078_125), 0.1875),
    ("3", 0.161, 0.099, ("5/64 in", 0.078_125), 0.218_75),
    ("4", 0.183, 0.112, ("3/32 in", 0.093_75), 0.218_75),
    ("5", 0.205, 0.125, ("3/32 in", 0.093_75), 0.25),
    ("6", 0.226, 0.138, ("7/64 in", 0.109_375), 0.281_25),
    ("8", 0.270, 0.164, ("9/64 in", 0.140_625), 0.3125),
    ("10", 0.312, 0.190, ("5/32 in", 0.156_25), 0.375),
    ("1/4", 0.375, 0.250, ("3/16 in", 0.1875), 0.4375),
    ("5/16", 0.469, 0.312, ("1/4 in", 0.25), 0.531_25),
    ("3/8", 0.562, 0.375, ("5/16 in", 0.3125), 0.625),
    ("7/16", 0.656, 0.438, ("3/8 in", 0.375), 0.718_75),
    ("1/2", 0.750, 0.500, ("3/8 in", 0.375), 0.8125),
    ("5/8", 0.938, 0.625, ("1/2 in", 0.5), 1.0),
    ("3/4", 1.125, 0.750, ("5/8 in", 0.625), 1.1875),
    ("1", 1.500, 1.000, ("3/4 in", 0.75), 1.625),
];

/// ISO 4762, table 1, plain heads; counterbores DIN 974-1, row 1.
#[rustfmt::skip]
pub(super) const CAP_METRIC: [CapRow; 14] = [
    ("M1.6", 3.0, 1.6, ("1.5 mm", 1.5), 3.5),
    ("M2", 3.8, 2.0, ("1.5 mm", 1.5), 4.3),
    ("M2.5", 4.5, 2.5, ("2 mm", 2.0), 5.0),
    ("M3", 5.5, 3.0, ("2.5 mm", 2.5), 6.0),
    ("M4", 7.0, 4.0, ("3 mm", 3.0), 8.0),
    ("M5", 8.5, 5.0, ("4 mm", 4.0), 10.0),
    ("M6", 10.0, 6.0, ("5 mm", 5.0), 11.0),
    ("M8", 13.0, 8.0, ("6 mm", 6.0), 15.0),
    ("M10", 16.0, 10.0, ("8 mm", 8.0), 18.0),
    ("M12", 18.0, 12.0, ("10 mm", 10.0), 20.0),
    ("M14", 21.0, 14.0, ("12 mm", 12.0), 24.0),
    ("M16", 24.0, 16.0, ("14 mm", 14.0), 26.0),
    ("M20", 30.0, 20.0, ("17 mm", 17.0), 33.0),
    ("M24", 36.0, 24.0, ("19 mm", 19.0), 40.0),
];

/// Clearance drills, close, normal, loose: ASME B18.2.8, table 1A (close partly from memory).
#[rustfmt::skip]
pub(super) const HOLE_INCH: [(&str, [&str; 3]); 10] = [
    ("4", ["#31", "#30", "#27"]),
    ("5", ["9/64", "5/32", "11/64"]),
    ("6", ["#23", "#18", "#13"]),
    ("8", ["#15", "#9", "#3"]),
    ("10", ["#5", "#2", "B"]),
    ("1/4", ["17/64", "9/32", "19/64"]),
    ("5/16", ["21/64", "11/32", "23/64"]),
    ("3/8", ["25/64", "13/32", "27/64"]),
    ("7/16", ["29/64", "15/32", "31/64"]),
    ("1/2", ["17/32", "9/16", "39/64"]),
];

/// Clearance holes, fine, medium, coarse: ISO 273, table 1.
#[rustfmt::skip]
pub(super) const HOLE_METRIC: [(&str, [f64; 3]); 17] = [
    ("M1.6", [1.7, 1.8, 2.0]),
    ("M2", [2.2, 2.4, 2.6]),
    ("M2.5", [2.7, 2.9, 3.1]),
    ("M3", [3.2, 3.4, 3.6]),
    ("M3.5", [3.7, 3.9, 4.2]),
    ("M4", [4.3, 4.5, 4.8]),
    ("M5", [5.3, 5.5, 5.8]),
    ("M6", [6.4, 6.6, 7.0]),
    ("M8", [8.4, 9.0, 10.0]),
    ("M10", [10.5, 11.0, 12.0]),
    ("M12", [13.0, 13.5, 14.5]),
    ("M14", [15.0, 15.5, 16.5]),
    ("M16", [17.0, 17.5, 18.5]),
    ("M18", [19.0, 20.0, 21.0]),
    ("M20", [21.0, 22.0, 24.0]),
    ("M22", [23.0, 24.0, 26.0]),
    ("M24", [25.0, 26.0, 28.0]),
];
