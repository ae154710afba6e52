//! A key, a shop and a setup, built by hand: nothing here comes from a family or a shop file.

use barwright_core::diag::Origin;
use barwright_core::part::{Basis, Blank, Depth, Face, Feature, General, Holes, Kind, Make, Part, Place, Size, Tongue};
use barwright_core::quantity::{Angle, Area, Density, Feed, Length, Mass, Spindle, Stress, Time, Unit};
use barwright_core::shop::{
    ArcCentre, Batch, Comments, Control, Cutter, Cycles, Edge, FullCircle, LengthOffset, Machine, Setup, Shop, Tool,
    ToolChange, Travel, Vise,
};
use barwright_core::standards::drill::Drill;
use barwright_core::standards::material::{Group, Material};
use barwright_core::standards::thread::{External, Hand, Internal, Thread};

const fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn size(name: &str, nominal: f64, upper: f64, lower: f64) -> Size {
    Size {
        name: name.to_owned(),
        title: name.replace('_', " "),
        nominal: mm(nominal),
        upper: mm(upper),
        lower: mm(lower),
        basis: Basis::Given,
    }
}

/// M5x0.8, class 6H; limits of ISO 965-2:1998, table 1.
pub(crate) fn m5() -> Thread {
    let drill = Drill { name: "4.2 mm".to_owned(), diameter: mm(4.2) };
    Thread {
        designation: "M5x0.8".to_owned(),
        name: "M5".to_owned(),
        unit: Unit::Mm,
        major: mm(5.0),
        pitch: mm(0.8),
        internal: Internal {
            class: "6H".to_owned(),
            minor_min: mm(4.134),
            minor_max: mm(4.334),
            pitch_min: mm(4.480),
            pitch_max: mm(4.605),
        },
        external: External {
            class: "6g".to_owned(),
            major_max: mm(4.976),
            major_min: mm(4.826),
            pitch_max: mm(4.456),
            pitch_min: mm(4.361),
        },
        tap_drill: drill,
        stress_area: Area::mm2(14.2),
        source: "ISO 965-2:1998, table 1".to_owned(),
    }
}

pub(crate) fn brass() -> Material {
    Material {
        name: "brass-c36000".to_owned(),
        title: "Brass C36000".to_owned(),
        group: Group::Brass,
        density: Density::gram_per_mm3(0.0085),
        yield_strength: Stress::mpa(310.0),
        tensile_strength: Stress::mpa(400.0),
        shear_strength: Stress::mpa(235.0),
        hardness: "about 78 HRB".to_owned(),
        drill_speed: Feed::mm_per_min(60_000.0),
        hss_speed: Feed::mm_per_min(45_000.0),
        carbide_speed: Feed::mm_per_min(120_000.0),
        cutting_force: Stress::mpa(700.0),
        cutting_exponent: 0.27,
        source: "typical values".to_owned(),
    }
}

/// The demo key: 60 x 16 x 12, tongue 10 e9 wide (ISO 286-2, table 5: -0.025/-0.061) and 2.5 high,
/// four M5 through.
pub(crate) fn key() -> Part {
    let places = [-22.5, -7.5, 7.5, 22.5].map(|x| Place { x: mm(x), y: mm(0.0) });
    let feature = |id: &str, title: &str, kind| Feature {
        id: id.to_owned(),
        title: title.to_owned(),
        face: Face::Top,
        origin: Origin::default(),
        kind,
    };
    Part {
        family: "joining-key".to_owned(),
        number: "JK-60".to_owned(),
        title: "Joining key".to_owned(),
        unit: Unit::Mm,
        material: brass(),
        blank: Blank { length: mm(60.0), width: mm(16.0), height: mm(12.0), bar: "brass 16 x 12".to_owned() },
        length: size("length", 60.0, 0.2, -0.2),
        width: size("width", 16.0, 0.1, -0.1),
        height: size("height", 12.0, 0.1, -0.1),
        ends: barwright_core::part::Ends::default(),
        features: vec![
            feature(
                "tongue",
                "Tongue",
                Kind::Tongue(Tongue {
                    width: size("tongue_width", 10.0, -0.025, -0.061),
                    height: size("tongue_height", 2.5, 0.05, -0.05),
                    centring: mm(0.05),
                }),
            ),
            feature(
                "screws",
                "Screw hole",
                Kind::Holes(Holes {
                    places: places.to_vec(),
                    place_tolerance: mm(0.1),
                    depth: Depth::Through,
                    make: Make::Tapped {
                        thread: Box::new(m5()),
                        hand: Hand::Right,
                        drill: Drill { name: "4.2 mm".to_owned(), diameter: mm(4.2) },
                        full: None,
                    },
                    chamfer: Some(mm(5.2)),
                    head: None,
                }),
            ),
        ],
        general: General { name: "ISO 2768-m".to_owned() },
        edge_break: Some((mm(0.1), mm(0.3))),
        finish: "as milled".to_owned(),
        mass: Mass::gram(90.0),
        notes: Vec::new(),
        hardware: Vec::new(),
    }
}

fn tool(number: u32, title: &str, edge: Edge, diameter: f64, flutes: u32, lengths: [f64; 4], cutter: Cutter) -> Tool {
    let [flute_length, reach, shank, stick_out] = lengths.map(mm);
    Tool {
        number,
        title: title.to_owned(),
        edge,
        diameter: mm(diameter),
        flutes,
        flute_length,
        reach,
        shank,
        stick_out,
        holder: mm(25.0),
        cutter,
        speed_max: None,
        speed: None,
        feed: None,
    }
}

pub(crate) fn tools() -> Vec<Tool> {
    let drill = |angle| Cutter::Drill { point: Angle::degree(angle), starts_itself: false };
    vec![
        tool(
            1,
            "spot drill 6",
            Edge::Hss,
            6.0,
            2,
            [12.0, 20.0, 6.0, 45.0],
            Cutter::Spot { point: Angle::degree(90.0) },
        ),
        tool(2, "drill 4.2", Edge::Hss, 4.2, 2, [30.0, 40.0, 4.2, 45.0], drill(118.0)),
        tool(
            3,
            "thread mill 3.0",
            Edge::Carbide,
            3.0,
            3,
            [0.8, 16.0, 6.0, 45.0],
            Cutter::ThreadMill {
                pitch_min: mm(0.5),
                pitch_max: mm(0.8),
                rows: 1,
                tip_flat: Some(mm(0.06)),
                tip: mm(0.4),
                corrected: false,
            },
        ),
        tool(
            4,
            "end mill 6",
            Edge::Carbide,
            6.0,
            3,
            [13.0, 16.0, 6.0, 45.0],
            Cutter::EndMill { centre_cutting: false, corner: Length::ZERO },
        ),
        tool(5, "drill 5.0", Edge::Hss, 5.0, 2, [30.0, 40.0, 5.0, 45.0], drill(118.0)),
    ]
}

pub(crate) fn control() -> Control {
    Control {
        name: "canned".to_owned(),
        title: "canned cycles, incremental centres".to_owned(),
        unit: None,
        decimals_mm: 3,
        decimals_inch: 4,
        cycles: Cycles::Canned,
        arc_centre: ArcCentre::Incremental,
        full_circle: FullCircle::One,
        line_numbers: None,
        comments: Comments::Brackets,
        comment_length: 40,
        line_length: 72,
        tool_change: ToolChange::Change,
        length_offset: LengthOffset::Table,
        work_offset: "G54".to_owned(),
        path_mode: None,
        start: vec!["%".to_owned()],
        end: vec!["M30".to_owned(), "%".to_owned()],
        dwell: Some(Time::second(2.0)),
        coolant: None,
        probing: false,
    }
}

/// No cycles, no length table, no tool changer; comments after a semicolon.
pub(crate) fn plain_control() -> Control {
    Control {
        name: "written-out".to_owned(),
        title: "written out, touched off".to_owned(),
        unit: Some(Unit::Inch),
        cycles: Cycles::WrittenOut,
        full_circle: FullCircle::Halves,
        comments: Comments::Semicolon,
        tool_change: ToolChange::Stop,
        length_offset: LengthOffset::TouchOff,
        start: Vec::new(),
        ..control()
    }
}

/// As [`control`], with centres that count from the program's zero.
pub(crate) fn absolute_control() -> Control {
    Control { name: "absolute".to_owned(), arc_centre: ArcCentre::Absolute, ..control() }
}

pub(crate) fn shop(control: Control) -> Shop {
    let travel = |from, to| Travel { from: mm(from), to: mm(to) };
    Shop {
        owner: "Workshop".to_owned(),
        machine: Machine {
            title: "bench mill".to_owned(),
            x: travel(0.0, 400.0),
            y: travel(0.0, 150.0),
            z: travel(-200.0, 0.0),
            feed_max: Feed::mm_per_min(2000.0),
            rapid: Feed::mm_per_min(3000.0),
            acceleration: 250.0,
            spindle_min: Spindle::rpm(300.0),
            spindle_max: Spindle::rpm(8000.0),
            spindle_watts: 800.0,
            spindle_start: Time::second(3.0),
            tool_change: Time::second(72.0),
            vigour: 0.6,
        },
        control,
        tools: tools(),
        batch: Batch::default(),
        rack: Vec::new(),
        vise: Vise {
            jaw_width: mm(100.0),
            jaw_height: mm(30.0),
            jaw_thickness: mm(20.0),
            opening: mm(100.0),
            parallels: vec![mm(20.0)],
            parallel_thickness: mm(4.0),
            grip_min: mm(4.0),
        },
    }
}

pub(crate) fn setup() -> Setup {
    Setup {
        jaw_middle: Length::ZERO,
        stop_at: None,
        number: 1,
        jaw_top: mm(-7.0),
        jaw_reach: mm(50.0),
        jaw_thickness: mm(20.0),
        parallel_top: mm(-12.0),
        parallel_height: mm(20.0),
        parallel_thickness: mm(4.0),
        stop_top: mm(-6.0),
        stop_thickness: mm(10.0),
        clear: mm(10.0),
        work_offset: "G54".to_owned(),
        datum_at: Some([mm(200.0), mm(75.0), mm(-100.0)]),
    }
}
