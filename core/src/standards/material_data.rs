//! The figures behind [`super::material`].

use super::material::Group;

/// A row of the table, in the units of data sheets.
pub(super) struct Row {
    pub(super) name: &'static str,
    /// Other names that people type.
    pub(super) also: &'static [&'static str],
    pub(super) title: &'static str,
    pub(super) group: Group,
    /// g/cm³.
    pub(super) density: f64,
    /// Yield, tensile and shear strength, in megapascals.
    pub(super) strength: [f64; 3],
    pub(super) hardness: &'static str,
    /// Drill, high-speed steel end mill, carbide end mill, m/min.
    pub(super) speed: [f64; 3],
    /// Specific cutting force at 1 mm chip, in megapascals, and its exponent.
    pub(super) cutting: (f64, f64),
    /// Where the strengths come from, and how the shear strength was estimated.
    pub(super) source: &'static str,
}

/// Strengths are typical values of data sheets. Speeds are the careful end of a public-domain
/// drill-press manual (drills) and of tables in open handbooks (mills); specific cutting forces
/// are those of the material groups of VDI 3323.
pub(super) const ROWS: [Row; 9] = [
    Row {
        name: "brass-c36000",
        also: &["brass", "c36000", "c360", "360 brass", "cuzn36pb3", "cz124", "cw603n", "free machining brass"],
        title: "Brass C36000 (CuZn36Pb3), half hard",
        group: Group::Brass,
        density: 8.50,
        strength: [310.0, 400.0, 235.0],
        hardness: "about 78 HRB",
        speed: [60.0, 45.0, 120.0],
        cutting: (700.0, 0.27),
        source: "open alloy sheets (tensile 338 to 469, yield 124 to 359 MPa by temper and size); shear from data sheets, 0.59 of tensile",
    },
    Row {
        name: "aluminium-6061-t6",
        also: &[
            "aluminium",
            "aluminum",
            "6061",
            "6061-t6",
            "aluminum-6061-t6",
            "aluminium-6061",
            "en aw-6061",
            "almg1sicu",
        ],
        title: "Aluminium 6061-T6",
        group: Group::Aluminium,
        density: 2.70,
        strength: [276.0, 310.0, 207.0],
        hardness: "about 95 HB",
        speed: [60.0, 75.0, 150.0],
        cutting: (800.0, 0.25),
        source: "typical data-sheet values, from memory; shear from data sheets, 0.67 of tensile",
    },
    Row {
        name: "steel-1018",
        also: &["steel", "1018", "mild steel", "low carbon steel", "c15", "crs"],
        title: "Steel 1018, cold drawn",
        group: Group::Steel,
        density: 7.87,
        strength: [370.0, 440.0, 255.0],
        hardness: "about 126 HB",
        speed: [24.0, 28.0, 60.0],
        cutting: (1350.0, 0.21),
        source: "typical data-sheet values, from memory; shear estimated as 0.58 of tensile (distortion energy)",
    },
    Row {
        name: "steel-12l14",
        also: &["12l14", "leaded steel", "free machining steel", "11smnpb30"],
        title: "Steel 12L14 (11SMnPb30), cold drawn",
        group: Group::Steel,
        density: 7.87,
        strength: [415.0, 540.0, 313.0],
        hardness: "about 163 HB",
        speed: [30.0, 34.0, 75.0],
        cutting: (1200.0, 0.21),
        source: "typical data-sheet values, from memory; shear estimated as 0.58 of tensile (distortion energy); cutting force from memory",
    },
    Row {
        name: "stainless-303",
        also: &["303", "1.4305", "stainless"],
        title: "Stainless steel 303 (1.4305), annealed",
        group: Group::Stainless,
        density: 8.0,
        strength: [240.0, 620.0, 360.0],
        hardness: "about 160 HB",
        speed: [12.0, 18.0, 50.0],
        cutting: (1935.0, 0.20),
        source: "typical data-sheet values, from memory; shear estimated as 0.58 of tensile (distortion energy); cutting force 10 % below 304",
    },
    Row {
        name: "stainless-304",
        also: &["304", "1.4301"],
        title: "Stainless steel 304 (1.4301), annealed",
        group: Group::Stainless,
        density: 8.0,
        strength: [215.0, 505.0, 293.0],
        hardness: "about 150 HB",
        speed: [9.0, 15.0, 45.0],
        cutting: (2150.0, 0.20),
        source: "typical data-sheet values, from memory; shear estimated as 0.58 of tensile (distortion energy)",
    },
    Row {
        name: "iron-grey-30",
        also: &["cast iron", "iron", "grey iron", "gray iron", "iron-gray-30", "gg20", "en-gjl-200", "class 30"],
        title: "Grey cast iron, class 30 (EN-GJL-200)",
        group: Group::CastIron,
        density: 7.2,
        strength: [130.0, 205.0, 205.0],
        hardness: "about 190 HB",
        speed: [21.0, 20.0, 60.0],
        cutting: (1225.0, 0.24),
        source: "typical data-sheet values, from memory; it has no yield point: 0.1 % proof strength is given; shear taken as tensile (its shear strength is 1.1 to 1.5 of it)",
    },
    Row {
        name: "acetal",
        also: &["pom", "pom-c", "acetal copolymer", "polyacetal"],
        title: "Acetal copolymer (POM-C)",
        group: Group::Plastic,
        density: 1.41,
        strength: [62.0, 62.0, 36.0],
        hardness: "about 85 Shore D",
        speed: [60.0, 90.0, 150.0],
        cutting: (150.0, 0.2),
        source: "typical data-sheet values, from memory; shear estimated as 0.58 of tensile; cutting force is an order of magnitude only",
    },
    Row {
        name: "hdpe",
        also: &["pe-hd", "polyethylene", "pe"],
        title: "High-density polyethylene (PE-HD)",
        group: Group::Plastic,
        density: 0.955,
        strength: [26.0, 26.0, 15.0],
        hardness: "about 65 Shore D",
        speed: [60.0, 91.0, 100.0],
        cutting: (80.0, 0.2),
        source: "typical data-sheet values, from memory; shear estimated as 0.58 of tensile; it creeps under load; cutting force is an order of magnitude only",
    },
];
