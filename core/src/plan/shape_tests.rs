//! Plans of all that a family may cut, checked as the machine would feel them.

use super::*;
use crate::family::load;
use crate::part::{Kind, Make};
use crate::program::{Header, emit};
use crate::quantity::{Length, Unit, trig};
use crate::shop::{Cutter, demo_shop};
use crate::source::Source;
use crate::variant::{Inputs, derive};

/// A part 60 x 20 x 12 of brass with these cuts.
fn part(cut: &str) -> Part {
    shaped("brass-c36000", (60, 20, 12), "", cut)
}

pub(super) fn shaped(material: &str, size: (u32, u32, u32), ends: &str, cut: &str) -> Part {
    spoken(Unit::Mm, material, size, ends, cut)
}

/// The same in a unit.
pub(super) fn spoken(
    unit: Unit,
    material: &str,
    (length, width, height): (u32, u32, u32),
    ends: &str,
    cut: &str,
) -> Part {
    let text = format!(
        r#"
family: try-block
title: Try block
number: "TB-{{length}}"
sizes:
  length: {{ is: length, ask: Length, usual: {length} mm, from: 10 mm, to: 300 mm, step: 1 mm }}
  pin: {{ is: length, ask: Pin, usual: 4 mm, from: 2 mm, to: 12 mm, step: 0.5 mm }}
  pin_fit: {{ is: fit, ask: Fit, usual: H7 }}
  screw: {{ is: thread, ask: Thread, usual: M5 }}
  material: {{ is: material, ask: Material, usual: {material} }}
follows:
  bar: {{ as: "rack.smallest(material, {width} mm, {height} mm)" }}
  pin_bore: {{ as: pin, upper: pin_fit.upper(pin), lower: pin_fit.lower(pin), fit: pin_fit }}
rules: {{}}
shape:
  bar: bar
  material: material
  length: length
  general: ISO 2768-m
  {ends}
  cut:
{cut}
"#
    );
    let family = load(&Source::new("try-block.yaml", text)).into_result().expect("the family is sound");
    let inputs = Inputs { unit: Some(unit), like: None, given: std::collections::BTreeMap::new() };
    let variant = derive(&family, &inputs, &demo_shop("canned").rack);
    variant.part.unwrap_or_else(|| panic!("{:#?}", variant.findings))
}

fn planned(part: &Part) -> Plan {
    planned_in(part, &demo_shop("canned"))
}

pub(super) fn planned_in(part: &Part, shop: &Shop) -> Plan {
    let checked = plan(part, shop);
    checked.value.unwrap_or_else(|| panic!("{:#?}", checked.findings))
}

fn refused(part: &Part, shop: &Shop) -> String {
    let checked = plan(part, shop);
    assert!(checked.value.is_none(), "refused");
    let told =
        checked.findings.iter().map(|it| format!("{} {} {}", it.headline, it.notes.join(" "), it.helps.join(" ")));
    told.collect::<Vec<_>>().join("\n")
}

fn works(plan: &Plan) -> Vec<Vec<(Work, u32)>> {
    plan.setups.iter().map(|setup| setup.operations.iter().map(|it| (it.work, it.tool)).collect()).collect()
}

fn operation(plan: &Plan, work: Work) -> &Operation {
    let found = plan.setups.iter().flat_map(|setup| &setup.operations).find(|it| it.work == work);
    found.unwrap_or_else(|| panic!("no {work:?} in {:?}", works(plan)))
}

fn diameter(number: u32) -> f64 {
    let shop = demo_shop("canned");
    shop.tools.iter().find(|tool| tool.number == number).expect("in the crib").diameter.as_mm()
}

/// A cut between two places; an arc as chords of a hundredth of a turn.
#[derive(Clone, Copy, Debug)]
struct Chord {
    from: [f64; 3],
    to: [f64; 3],
    rapid: bool,
    arc: Option<Turn>,
}

/// The way of an operation's tip, arcs as chords; arcs must begin on their own circle.
fn way(operation: &Operation) -> Vec<Chord> {
    let mut at = [0.0, 0.0, 5.0];
    let mut chords = Vec::new();
    for step in &operation.moves {
        match step {
            Move::Rapid { to } | Move::Feed { to, .. } => {
                let next = [
                    to.x.map_or(at[0], Length::as_mm),
                    to.y.map_or(at[1], Length::as_mm),
                    to.z.map_or(at[2], Length::as_mm),
                ];
                chords.push(Chord { from: at, to: next, rapid: matches!(step, Move::Rapid { .. }), arc: None });
                at = next;
            }
            Move::Arc { to, centre, turn, .. } => {
                let (cx, cy) = (centre.x.as_mm(), centre.y.as_mm());
                let end = [to.x.as_mm(), to.y.as_mm(), to.z.as_mm()];
                let radius = trig::hypot(at[0] - cx, at[1] - cy);
                let other = trig::hypot(end[0] - cx, end[1] - cy);
                assert!(radius > 1e-6 && (radius - other).abs() < 1e-6, "{}: {at:?} {step:?}", operation.title);
                let begin = trig::atan2(at[1] - cy, at[0] - cx).as_rad();
                let until = trig::atan2(end[1] - cy, end[0] - cx).as_rad();
                let sign = if *turn == Turn::CounterClockwise { 1.0 } else { -1.0 };
                let mut sweep = (until - begin) * sign;
                while sweep < 1e-6 {
                    sweep += std::f64::consts::TAU;
                }
                let start = at;
                for piece in 1..=100_u32 {
                    let share = f64::from(piece) / 100.0;
                    let angle = crate::quantity::Angle::rad(begin + sign * sweep * share);
                    let next = [
                        cx + radius * trig::cos(angle),
                        cy + radius * trig::sin(angle),
                        start[2] + (end[2] - start[2]) * share,
                    ];
                    chords.push(Chord { from: at, to: next, rapid: false, arc: Some(*turn) });
                    at = next;
                }
            }
            Move::Drill { places, depth, .. } => {
                for place in places {
                    let (x, y) = (place.x.as_mm(), place.y.as_mm());
                    chords.push(Chord { from: [x, y, 2.0], to: [x, y, depth.as_mm()], rapid: false, arc: None });
                    at = [x, y, 2.0];
                }
            }
        }
    }
    chords
}

/// How far cuts deeper than `z` reach from a place, at most; the tool's radius counted.
fn widest(operation: &Operation, (x, y): (f64, f64), z: f64) -> f64 {
    let radius = diameter(operation.tool) / 2.0;
    let far = |at: [f64; 3]| trig::hypot(at[0] - x, at[1] - y) + radius;
    way(operation).iter().filter(|chord| chord.to[2] < z).map(|chord| far(chord.to)).fold(0.0, f64::max)
}

fn near(found: f64, wanted: f64, what: &str) {
    assert!((found - wanted).abs() < 0.0021, "{what}: {found}, not {wanted}");
}

#[test]
fn blind_holes_end_where_they_should() {
    let part = part(
        "    - holes: { name: rest, title: Rest, at: [[0 mm, 0 mm]], diameter: 5.5 mm, depth: 6 mm, \
         place_tolerance: 0.1 mm }",
    );
    let plan = planned(&part);
    assert_eq!(works(&plan), [[(Work::Spot, 1), (Work::Drill, 22)]]);
    let drill = operation(&plan, Work::Drill);
    // 118° point of 5.5 mm: 0.3004 d (geometry; workshop notes 5).
    near(drill.lowest().as_mm(), -6.0 - 1.652, "full diameter to 6, the point beyond");
    assert!(drill.moves.iter().any(|step| matches!(step, Move::Drill { dwell: Some(_), ease: None, .. })), "{drill:?}");
    let setup = &plan.setups[0].setup;
    assert_eq!(setup.parallel_height, Length::mm(14.0), "nothing comes out below: the lowest pair that keeps clear");
}

#[test]
fn a_point_that_would_come_out_is_refused() {
    let mut deep = part(
        "    - holes: { name: rest, title: Rest, at: [[0 mm, 0 mm]], diameter: 5.5 mm, depth: 10 mm, \
         place_tolerance: 0.1 mm }",
    );
    deep.height.lower = Length::mm(-0.3);
    let mut shop = demo_shop("canned");
    shop.tools.retain(|tool| !matches!(tool.cutter, Cutter::EndMill { .. }));
    let said = refused(&deep, &shop);
    assert!(said.contains("11.652 mm deep, 11.5 mm leave a floor"), "{said}");
    // A mill has no point.
    let plan = planned(&deep);
    assert_eq!(works(&plan), [[(Work::Bore, 8)]]);
    near(operation(&plan, Work::Bore).lowest().as_mm(), -10.0, "flat at its depth");
}

#[test]
fn blind_threads_stay_off_the_cone() {
    let part = part(
        "    - holes: { name: screws, title: Screw, at: [[-10 mm, 0 mm], [10 mm, 0 mm]], tapped: screw, depth: 9 mm, \
         thread_depth: 6 mm, place_tolerance: 0.1 mm }",
    );
    let plan = planned(&part);
    let thread = operation(&plan, Work::ThreadMill);
    let Kind::Holes(holes) = &part.features[0].kind else { panic!("holes") };
    let Make::Tapped { full: Some(full), .. } = &holes.make else { panic!("tapped, blind") };
    // Tool 33 has its lowest tooth 0.5 mm above its end; the drill goes 9 mm deep.
    let end = thread.lowest().as_mm();
    assert!(end >= -8.8 - 1e-9, "0.2 mm above the cone: {end}");
    let turns: Vec<f64> = way(thread).iter().filter(|it| it.arc.is_some()).map(|it| it.to[2] + 0.5).collect();
    let lowest = turns.iter().copied().fold(0.0, f64::min);
    assert!(lowest <= -full.least().as_mm() - 0.4, "half a pitch below the full thread: {lowest}");
    assert!(turns.iter().copied().fold(-99.0, f64::max) >= 0.4, "and half a pitch above the face");
    // Upward and against the clock, which is climb milling of a right-hand thread.
    for chord in way(thread).iter().filter(|it| it.arc.is_some()) {
        assert!(chord.arc == Some(Turn::CounterClockwise) && chord.to[2] >= chord.from[2], "{chord:?}");
    }
}

#[test]
fn a_thread_without_room_is_tapped_with_a_short_lead() {
    let part = part(
        "    - holes: { name: screws, title: Screw, at: [[0 mm, 0 mm]], tapped: screw, depth: 8 mm, \
         thread_depth: 7.5 mm, place_tolerance: 0.1 mm }",
    );
    let plan = planned(&part);
    assert!(plan.tapped_by_hand().next().is_some(), "{:?}", plan.choices);
    let told = plan.choices.iter().find(|choice| choice.what == "thread").expect("told");
    assert!(told.others.iter().any(|other| other.contains("full thread above the drill's cone")), "{told:?}");
    assert!(plan.notes().iter().any(|note| note.contains("bottoming tap")), "{:?}", plan.notes());
}

#[test]
fn reamed_holes_have_a_pilot_and_are_fed_out() {
    let part = part(
        "    - holes: { name: pins, title: Pin, at: [[-10 mm, 0 mm]], reamed: pin_bore, chamfer: 4.6 mm, place_tolerance: \
         0.05 mm }\n    - holes: { name: blind, title: Blind pin, at: [[10 mm, 0 mm]], reamed: pin_bore, depth: 6 mm, \
         place_tolerance: 0.05 mm }",
    );
    let plan = planned(&part);
    let wanted =
        [(Work::Spot, 1), (Work::Spot, 1), (Work::Drill, 41), (Work::Drill, 41), (Work::Ream, 51), (Work::Ream, 51)];
    assert_eq!(works(&plan), [wanted]);
    let left = diameter(51) - diameter(41);
    assert!((0.1..=0.3).contains(&left), "{left} to ream");
    let ops = &plan.setups[0].operations;
    for ream in ops.iter().filter(|it| it.work == Work::Ream) {
        assert!(
            ream.moves.iter().any(|step| matches!(step, Move::Drill { fed_out: true, peck: None, .. })),
            "{ream:?}"
        );
        assert!(ream.spindle.as_rpm() < ops[2].spindle.as_rpm() * 0.6, "{:?}", ream.reasons);
    }
    // Lead 0.6: through the part and past it; in the blind hole full size down to 6.
    near(ops[4].lowest().as_mm(), -12.06 - 0.6 - 1.0, "through");
    near(ops[5].lowest().as_mm(), -6.6, "blind");
    assert!(
        ops[3].lowest().as_mm() < -7.1 - 1.1,
        "the pilot leaves room for the lead and chips: {:?}",
        ops[3].lowest()
    );
}

#[test]
fn counterbores_are_plunged_or_milled_round() {
    let with = |diameter: &str| {
        part(&format!(
            "    - holes: {{ name: heads, title: Head, at: [[-12 mm, 0 mm], [12 mm, 0 mm]], diameter: 5.5 mm, \
             place_tolerance: 0.1 mm, counterbore: {{ diameter: {diameter}, depth: 5.4 mm }} }}"
        ))
    };
    let plunged = planned(&with("10 mm"));
    assert_eq!(works(&plunged), [[(Work::Spot, 1), (Work::Drill, 22), (Work::Counterbore, 4)]]);
    near(operation(&plunged, Work::Counterbore).lowest().as_mm(), -5.4, "its depth");
    let round = planned(&with("11 mm"));
    let sink = operation(&round, Work::Counterbore);
    assert_eq!(sink.tool, 3, "{:?}", round.choices);
    near(widest(sink, (-12.0, 0.0), -5.3).min(widest(sink, (12.0, 0.0), -5.3)), 24.0 + 5.5, "both, each 11 wide");
    let own: Vec<Chord> = way(sink).into_iter().filter(|it| it.to[0] < 0.0 && it.to[2] < -5.3).collect();
    let far = own.iter().map(|it| trig::hypot(it.to[0] + 12.0, it.to[1]) + 3.0).fold(0.0, f64::max);
    near(far, 5.5, "radius of the wall");
    near(sink.lowest().as_mm(), -5.4, "its depth");
}

#[test]
fn countersinks_by_spot_drill_or_countersink() {
    let with = |diameter: &str, angle: &str| {
        part(&format!(
            "    - holes: {{ name: heads, title: Head, at: [[0 mm, 0 mm]], diameter: 4.5 mm, place_tolerance: 0.1 mm, \
             countersink: {{ diameter: {diameter}, angle: {angle} }} }}"
        ))
    };
    let spot = planned(&with("9 mm", "90°"));
    assert_eq!(works(&spot), [[(Work::Spot, 2), (Work::Drill, 21)]]);
    near(operation(&spot, Work::Spot).lowest().as_mm(), -4.5, "9 across at 90°");
    let wide = planned(&with("12 mm", "90°"));
    assert_eq!(works(&wide), [[(Work::Spot, 1), (Work::Drill, 21), (Work::Countersink, 60)]]);
    near(operation(&wide, Work::Countersink).lowest().as_mm(), -(12.0 - 3.2) / 2.0, "from its nose");
    let inch = planned(&with("9 mm", "82°"));
    assert_eq!(works(&inch), [[(Work::Spot, 1), (Work::Drill, 21), (Work::Countersink, 61)]]);
    let mut shop = demo_shop("canned");
    shop.tools.retain(|tool| tool.number != 61);
    assert!(refused(&with("9 mm", "82°"), &shop).contains("countersink of 82°"), "named");
}

#[test]
fn slots_have_their_size_and_climb() {
    let part = part(
        "    - slot: { name: way, title: Slot, width: 7 mm, length: 20 mm, depth: 4 mm, middle: [5 mm, 1 mm], \
         place_tolerance: 0.1 mm }\n    - slot: { name: out, title: Window, width: 7 mm, length: 12 mm, middle: [-16 mm, 1 mm], \
         place_tolerance: 0.1 mm }",
    );
    let plan = planned(&part);
    let kinds: Vec<Work> = works(&plan)[0].iter().map(|(work, _)| *work).collect();
    assert_eq!(kinds, [Work::SlotRough, Work::SlotFinish, Work::SlotRough, Work::SlotFinish]);
    let ops = &plan.setups[0].operations;
    for (at, middle, long, floor) in [(0, 5.0, 20.0, -4.0), (2, -16.0, 12.0, -12.06 - 0.3)] {
        let radius = diameter(ops[at].tool) / 2.0;
        for (operation, off) in [(&ops[at], 0.15), (&ops[at + 1], 0.0)] {
            let way = way(operation);
            let low: Vec<&Chord> = way.iter().filter(|it| it.to[2] <= floor + 0.01).collect();
            let reach = |axis: usize, middle: f64| {
                low.iter().map(|it| (it.to[axis] - middle).abs() + radius).fold(0.0, f64::max)
            };
            near(reach(0, middle), long / 2.0 - off, "along");
            near(reach(1, 1.0), 3.5 - off, "across");
            near(operation.lowest().as_mm(), floor, "its floor");
            // Climbing inside is against the clock: the way's own area is positive.
            let area: f64 = low.iter().map(|it| it.from[0] * it.to[1] - it.to[0] * it.from[1]).sum();
            assert!(area > 0.0 && low.iter().all(|it| it.arc != Some(Turn::Clockwise)), "{area}");
        }
        // Nowhere does it go down more steeply than 3°, once in the work.
        for chord in way(&ops[at]).iter().filter(|it| !it.rapid && it.to[2] < -1e-9 && it.to[2] < it.from[2] - 1e-12) {
            let flat = trig::hypot(chord.to[0] - chord.from[0], chord.to[1] - chord.from[1]);
            assert!(chord.from[2] - chord.to[2] <= flat * 0.0501, "{chord:?}");
        }
    }
    assert!(plan.setups[0].setup.parallel_height >= Length::mm(1.3), "the window comes out below");
}

#[test]
fn grooves_enter_from_outside() {
    let part = part(
        "    - slot: { name: groove, title: Groove, width: 5 mm, depth: 3 mm, middle: [0 mm, -2 mm], place_tolerance: 0.1 mm }",
    );
    let plan = planned(&part);
    assert_eq!(works(&plan), [[(Work::GrooveRough, 8), (Work::GrooveFinish, 8)]]);
    let finish = operation(&plan, Work::GrooveFinish);
    let mut walls = (0.0_f64, 0.0_f64);
    for chord in way(finish).iter().filter(|it| !it.rapid && it.to[2] < 0.0) {
        let [x, y, _] = chord.from;
        assert!(x.abs() >= 30.0 + 2.0 + 1.0 - 1e-9, "from outside: {chord:?}");
        if (chord.to[0] - x).abs() > 1.0 {
            // The wall on the right of the way: the front one toward higher X.
            assert!((chord.to[0] - x) * (y + 2.0) < 0.0, "climbs: {chord:?}");
            walls = (walls.0.min(y - 2.0), walls.1.max(y + 2.0));
        }
    }
    near(walls.1 - walls.0, 5.0, "width");
    near(finish.lowest().as_mm(), -3.0, "depth");
    assert!(plan.setups[0].setup.jaw_top <= Length::mm(-4.0), "the stop stays under the cutter");
}

#[test]
fn ends_are_milled_beyond_the_jaws() {
    let cut = "    - holes: { name: hole, title: Hole, at: [[0 mm, 0 mm]], diameter: 5.5 mm, place_tolerance: 0.1 mm }";
    let part = shaped("brass-c36000", (60, 20, 12), "ends: { allowance: 1.5 mm, corner: 2 mm }", cut);
    let plan = planned(&part);
    let kinds = works(&plan);
    assert_eq!(
        kinds[..2],
        [vec![(Work::EndRough, 4), (Work::EndFinish, 4)], vec![(Work::EndRough, 4), (Work::EndFinish, 4)]]
    );
    assert_eq!(kinds.len(), 3);
    for (setup, stop) in plan.setups.iter().zip([Some(-31.5), None, None]) {
        assert_eq!(setup.setup.stop_at.map(Length::as_mm), stop, "{:?}", setup.pose);
    }
    for setup in &plan.setups[..2] {
        let jaws = (setup.setup.jaw_middle + setup.setup.jaw_reach).as_mm();
        for operation in &setup.operations {
            let radius = diameter(operation.tool) / 2.0;
            let off = if operation.work == Work::EndRough { 0.15 } else { 0.0 };
            let mut nearest = f64::INFINITY;
            for chord in way(operation).iter().filter(|it| it.to[2] < 0.0) {
                let [x, y, _] = chord.to;
                assert!(x - radius >= jaws + 1.0 - 1e-9, "off the jaws: {chord:?}");
                // From the rounded end: a box with round corners.
                let (dx, dy) = ((x - 28.0).max(0.0), (y.abs() - 8.0).max(0.0));
                nearest = nearest.min(trig::hypot(dx, dy) - 2.0 - radius);
            }
            near(nearest, off, &operation.title);
            near(operation.lowest().as_mm(), -12.06 - 0.5, "past the lower face");
            // Outside with the clock, from the back to the front.
            assert!(way(operation).iter().any(|it| it.arc == Some(Turn::Clockwise)), "round the corners");
            let down = way(operation)
                .iter()
                .filter(|it| it.from[0] > 34.9 && it.arc.is_none() && !it.rapid)
                .all(|it| it.to[1] < it.from[1]);
            assert!(down, "climbs");
        }
    }
    assert!(plan.setups[0].datum.contains("sawn end"), "{}", plan.setups[0].datum);
    let short = shaped("brass-c36000", (12, 20, 12), "ends: { allowance: 1 mm, corner: 2 mm }", "    []");
    assert!(refused(&short, &demo_shop("canned")).contains("must stand beyond the jaws"), "too short");
}

#[test]
fn every_side_has_its_setup() {
    let cut = "    - holes: { name: top, title: Top, at: [[0 mm, 0 mm]], diameter: 5.5 mm, place_tolerance: 0.1 mm }\n    \
               - holes: { name: under, title: Under, from: bottom, at: [[10 mm, 6 mm]], diameter: 3.4 mm, depth: 4 mm, place_tolerance: 0.1 mm }\n    \
               - holes: { name: right, title: Right, from: right, at: [[4 mm, 1 mm]], tapped: screw, depth: 10 mm, thread_depth: 7 mm, place_tolerance: 0.1 mm }\n    \
               - holes: { name: left, title: Left, from: left, at: [[4 mm, 1 mm]], tapped: screw, depth: 10 mm, thread_depth: 7 mm, place_tolerance: 0.1 mm }";
    let part = part(cut);
    let plan = planned(&part);
    let poses: Vec<Pose> = plan.setups.iter().map(|setup| setup.pose).collect();
    assert_eq!(poses, [Pose::Top, Pose::Bottom, Pose::OnLeft, Pose::OnRight]);
    assert_eq!(plan.setups.iter().map(|setup| setup.setup.number).collect::<Vec<_>>(), [1, 2, 3, 4]);
    let standing = &plan.setups[2].setup;
    assert_eq!(standing.parallel_height, Length::ZERO, "on the bed of the vise");
    assert_eq!(standing.jaw_top, Length::mm(-35.0), "25 mm of jaw on a part 60 mm high");
    assert!(plan.setups[2].datum.contains("front side at the stop"), "{}", plan.setups[2].datum);
    assert!(plan.setups[3].datum.contains("back side at the stop"), "{}", plan.setups[3].datum);
    // From the left end the back is on the left (X is turned).
    let first = |setup: &SetupPlan| way(&setup.operations[0]).first().map(|it| it.to[0]);
    assert_eq!((first(&plan.setups[2]), first(&plan.setups[3])), (Some(4.0), Some(-4.0)));
    let tall = shaped("brass-c36000", (90, 20, 12), "", &cut.lines().nth(2).map(str::to_owned).unwrap_or_default());
    let said = refused(&tall, &demo_shop("canned"));
    assert!(said.contains("stands 90 mm high") && said.contains("75 mm at most"), "{said}");
}

#[test]
fn a_tongue_below_hangs_between_the_parallels() {
    let cut = |width: &str| {
        format!(
            "    - tongue: {{ name: tongue, title: Tongue, width: {width}, height: 2.5 mm, centring: 0.1 mm }}\n    \
             - holes: {{ name: under, title: Under, from: bottom, at: [[0 mm, 0 mm]], diameter: 3.4 mm, depth: 4 mm, \
             place_tolerance: 0.1 mm }}"
        )
    };
    let plan = planned(&part(&cut("10 mm")));
    let setup = &plan.setups[1].setup;
    assert_eq!(setup.parallel_top, Length::mm(-9.5), "the shoulders rest: {setup:?}");
    assert!(plan.notes().iter().any(|note| note.contains("hangs between")), "{:?}", plan.notes());
    let said = refused(&part(&cut("17 mm")), &demo_shop("canned"));
    assert!(said.contains("shoulders are 1.") && said.contains("need 2.5 mm"), "{said}");
}

#[test]
fn travel_counts_arcs_and_drills() {
    let holes = part(
        "    - holes: { name: far, title: Far, at: [[-25 mm, 0 mm], [25 mm, 0 mm]], diameter: 5.5 mm, place_tolerance: 0.1 mm }",
    );
    let mut shop = demo_shop("canned");
    shop.machine.x.from = Length::mm(-49.0);
    assert!(refused(&holes, &shop).contains("50 mm along X"), "drilling");
    let mut shop = demo_shop("canned");
    shop.machine.z.from = Length::mm(-40.0);
    assert!(refused(&holes, &shop).contains("travel up and down"), "the head");
}

#[test]
fn four_hundred_threads() {
    let cut = "    - holes: { name: grid, title: Grid, columns: 25, rows: 16, pitch: 7 mm, row_pitch: 5.5 mm, \
               tapped: screw, place_tolerance: 0.1 mm }";
    let part = shaped("aluminium-6061-t6", (190, 100, 12), "", cut);
    let plan = planned(&part);
    let thread = operation(&plan, Work::ThreadMill);
    assert_eq!(thread.moves.iter().filter(|step| matches!(step, Move::Rapid { to } if to.x.is_some())).count(), 400);
    // Column by column, up the one and down the other: never across the plate for the next hole.
    let drill = operation(&plan, Work::Drill);
    let Some(Move::Drill { places, .. }) = drill.moves.get(1) else { panic!("{drill:?}") };
    let far =
        places.windows(2).map(|pair| trig::hypot((pair[1].x - pair[0].x).as_mm(), (pair[1].y - pair[0].y).as_mm()));
    near(far.fold(0.0, f64::max), 7.0, "the longest way from hole to hole");
}

#[test]
fn all_controls_write_all_of_it() {
    let cut = "    - holes: { name: pins, title: Pin, at: [[-10 mm, 0 mm]], reamed: pin_bore, place_tolerance: 0.05 mm }\n    \
               - holes: { name: heads, title: Head, at: [[22 mm, 0 mm]], diameter: 5.5 mm, place_tolerance: 0.1 mm, \
               counterbore: { diameter: 11 mm, depth: 5 mm } }\n    \
               - slot: { name: way, title: Slot, width: 7 mm, length: 14 mm, depth: 3 mm, middle: [5 mm, 1 mm], place_tolerance: 0.1 mm }";
    let part = shaped("brass-c36000", (60, 20, 12), "ends: { allowance: 1 mm, corner: 2 mm }", cut);
    for control in ["canned", "written-out", "absolute"] {
        let shop = demo_shop(control);
        let plan = planned_in(&part, &shop);
        for setup in &plan.setups {
            let header = Header {
                number: "TB".to_owned(),
                title: "Try".to_owned(),
                revision: String::new(),
                digest: String::new(),
                unit: Unit::Mm,
                material: String::new(),
                stock: String::new(),
                owner: String::new(),
                notes: Vec::new(),
                setups: plan.setups.len(),
                proved: true,
            };
            let text = emit(setup, &header, &shop.control).text;
            if control != "absolute" {
                assert!(text.contains(&format!("SETUP {} OF 3", setup.setup.number)), "{text}");
                assert!(text.contains("ZERO G5"), "{text}");
            }
            let reamed = setup.tools.iter().any(|tool| matches!(tool.cutter, Cutter::Reamer { .. }));
            assert_eq!(control == "canned" && reamed, text.contains("G85"), "{text}");
        }
    }
}
