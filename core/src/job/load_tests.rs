//! Loads of several pieces: planned, written, read back, and broken on purpose.

use super::*;
use crate::batch::{self, Count, Load, SetupTime, Way};
use crate::plan::tests::{m5_key, planned};
use crate::proof::{Times, prove_load};
use crate::quantity::{Length, Time};
use crate::shop::{Zeros, demo_shop};

fn stamp() -> Stamp {
    Stamp { revision: "A".to_owned(), digest: "0123456789ab".to_owned(), ..Stamp::default() }
}

/// A shop whose vise takes a row of keys.
fn wide(control: &str) -> Shop {
    let mut shop = demo_shop(control);
    shop.vise.jaw_width = Length::mm(200.0);
    shop.batch.plates.clear();
    shop
}

/// What an order makes of a part: the plan, its batch, and the programs of its loads.
fn ordered(part: &Part, shop: &Shop, pieces: u32, per_load: Option<u32>) -> (Plan, Batch, Vec<LoadRun>) {
    let plan = planned(part, shop);
    let runs = runs(&plan, part, shop, &stamp(), true);
    let times: Vec<&Times> = runs.iter().map(|run| &run.verdict.times).collect();
    let count = Count { ordered: pieces, spares: 0 };
    let batch = batch::batch(part, &plan, &times, shop, count, per_load);
    let batch = batch.value.unwrap_or_else(|| panic!("an order: {:?}", batch.findings));
    let loads = loads(part, &plan, &batch, shop, &stamp(), false);
    let loads = loads.value.unwrap_or_else(|| panic!("proved: {:#?}", loads.findings));
    (plan, batch, loads)
}

#[test]
fn loads_prove_for_every_control_in_either_unit_and_with_either_zero() {
    for (control, units) in
        [("canned", &[Unit::Mm, Unit::Inch][..]), ("written-out", &[Unit::Inch]), ("absolute", &[Unit::Mm])]
    {
        for &unit in units {
            for (zeros, rows) in [(Zeros::One, false), (Zeros::Each, true), (Zeros::Each, false), (Zeros::One, true)] {
                {
                    let mut part = m5_key();
                    part.unit = unit;
                    let mut shop = if rows { wide(control) } else { demo_shop(control) };
                    shop.batch.loading.zeros = zeros;
                    // Of G56 to G59 there are four.
                    let ask = if rows { 3 } else { 4 };
                    let (_, batch, loads) = ordered(&part, &shop, 2 * ask - 1, Some(ask));
                    let load = &batch.setups[0].1;
                    assert_eq!(load.way == Way::Row, rows, "{}", load.title);
                    let sizes: Vec<u32> = loads.iter().map(|run| run.pieces).collect();
                    assert_eq!(sizes, [ask, ask - 1], "a full load and the last");
                    for run in &loads {
                        let what = format!("{control} {unit:?} {zeros:?} {}", run.file);
                        assert!(run.verdict.proved(), "{what}: {:#?}", run.verdict.breaches);
                        assert_eq!(run.verdict.pieces.len(), run.stands.len(), "{what}: every place is measured");
                        let [first, second] = [0, 1].map(|at| run.stands[at].setup.work_offset.as_str());
                        let own = second != first && run.program.text.lines().any(|line| line.ends_with(second));
                        // Set on the work, a tool knows one zero.
                        let each = zeros == Zeros::Each && control != "written-out";
                        assert_eq!(own, each, "{what}: zeros of their own");
                        // Each tool is fitted once, however many pieces.
                        let changes =
                            run.program.text.lines().filter(|line| line.contains("M6") || line.contains("M0"));
                        assert_eq!(changes.filter(|line| !line.starts_with(['(', ';'])).count(), 4, "{what}");
                    }
                }
            }
        }
    }
}

/// The reckoning takes pieces for equal and their ways between for nothing; the proof counts both.
#[test]
fn the_reckoning_agrees_with_the_proof() {
    let (part, shop) = (m5_key(), demo_shop("canned"));
    let (plan, batch, loads) = ordered(&part, &shop, 50, None);
    let (time, load): &(SetupTime, Load) = &batch.setups[0];
    assert_eq!((load.pieces, load.loads, load.last, plan.setups.len()), (6, 9, 2, 1), "eight full loads and two");
    for run in &loads {
        let reckoned = time.shared() + time.cut() * f64::from(run.pieces);
        let off = (run.verdict.times.total - reckoned).as_second().abs() / reckoned.as_second();
        assert!(off < 0.02, "{}: {:?} reckoned, {:?} proved", run.file, reckoned, run.verdict.times.total);
    }
    assert!(loads[0].verdict.times.changes <= Time::second(4.0 * 72.0), "four changes, not four for each piece");
}

fn broken(part: &Part, shop: &Shop, run: &LoadRun, from: &str, to: &str) -> LoadVerdict {
    assert!(run.program.text.contains(from), "`{from}` is there to be broken");
    let text = run.program.text.replacen(from, to, 1);
    prove_load(&text, &part.posed(run.pose), shop, &run.stands, &Tapping::default())
}

fn tells(verdict: &LoadVerdict, place: &str, code: &str) {
    assert!(!verdict.proved(), "{code} at {place} is seen");
    let found = verdict.breaches.iter().any(|breach| breach.code == code && breach.what.starts_with(place));
    let told: Vec<String> =
        verdict.breaches.iter().map(|one| format!("{} {} {}", one.line, one.code, one.what)).collect();
    assert!(found, "{place} {code}: {told:#?}");
}

#[test]
fn what_is_wrong_with_one_piece_is_told_with_its_place() {
    let (part, shop) = (m5_key(), demo_shop("canned"));
    let (_, _, loads) = ordered(&part, &shop, 6, None);
    let run = &loads[0];
    // The second hole of the second piece, drilled and threaded 0.4 mm off.
    let all = run.program.text.replace("X67.5 Y0.0", "X67.9 Y0.0");
    let verdict = prove_load(&all, &part, &shop, &run.stands, &Tapping::default());
    assert!(!verdict.pieces[1].holds() && verdict.pieces[0].holds() && verdict.pieces[5].holds(), "only the second");
    // The last piece is not spotted: its drill starts on the bare face.
    let at = run.program.text.find("(PLACE 6)").expect("a place");
    let end = run.program.text[at..].find("(TOOL 12").expect("the next tool") + at;
    let cut = format!("{}{}", &run.program.text[..at], &run.program.text[end..]);
    let verdict = prove_load(&cut, &part, &shop, &run.stands, &Tapping::default());
    let bad: Vec<bool> = verdict.pieces.iter().map(proof::PieceVerdict::holds).collect();
    assert!(!bad[5] && bad[..5].iter().all(|good| *good), "the sixth has no chamfers: {bad:?}");
}

#[test]
fn a_move_that_meets_the_neighbour_is_seen() {
    let (part, shop) = (m5_key(), demo_shop("canned"));
    let (_, _, loads) = ordered(&part, &shop, 6, None);
    let run = &loads[0];
    // From the first piece straight to the second, without going up: through both.
    let text = &run.program.text;
    let at = text.find("(TOOL 12 ").expect("drilled");
    let at = at + text[at..].find("(PLACE 2)").expect("the second piece");
    let (head, tail) = text.split_at(at);
    let up = head.rfind("G0 Z5.0").expect("up before it");
    let low = format!("{}G0 Z0.5{}{tail}", &head[..up], &head[up + "G0 Z5.0".len()..]);
    let verdict = prove_load(&low, &part, &shop, &run.stands, &Tapping::default());
    tells(&verdict, "Place 1", "proof/rapid-in-material");
    tells(&verdict, "Place 2", "proof/rapid-in-material");
    // The places stand too near: the stop of one is where the piece before it is; or the mill at
    // the side of one goes into the tongue of the next.
    let plan = planned(&part, &shop);
    for (x, y, code) in [(64.0 / 75.0, 1.0, "proof/crowded"), (1.0, 18.0 / 45.0, "proof/gouge")] {
        let mut near = run.stands.clone();
        for stand in &mut near {
            (stand.x, stand.y) = (stand.x * x, stand.y * y);
        }
        let close = load_run(&part, &plan, (&plan.setups[0], "too near", &[]), near, &shop, &stamp(), true);
        tells(&close.verdict, "Place ", code);
    }
    // Down between the places, into the plate.
    let verdict = broken(&part, &shop, run, "(PLACE 2)", "G0 X37.5 Y22.5\nG0 Z-19.0\nG0 Z5.0\n(PLACE 2)");
    tells(&verdict, "The tool goes down to -19", "proof/parallel");
}

#[test]
fn what_concerns_the_whole_load_is_told_once() {
    let (part, mut shop) = (m5_key(), demo_shop("canned"));
    let (_, _, loads) = ordered(&part, &shop, 6, None);
    let run = &loads[0];
    let start = run.program.text.lines().find(|line| line.contains(" M3")).expect("a start").to_owned();
    let verdict = broken(&part, &shop, run, &start, "N5 M3");
    let speeds = verdict
        .breaches
        .iter()
        .filter(|breach| breach.code == "proof/spindle-stopped" || breach.code == "proof/speed-missing");
    assert!(speeds.clone().count() >= 1, "{:#?}", verdict.breaches);
    let verdict = broken(&part, &shop, run, "(PLACE 1)", "(PLACE 1)\nG4 P90.0");
    let waits: Vec<_> = verdict.breaches.iter().filter(|breach| breach.code == "proof/dwell").collect();
    assert_eq!(waits.len(), 1, "once, not for each of six: {waits:#?}");
    assert!(!waits[0].what.starts_with("Place"), "it belongs to no place");
    shop.machine.x.from = Length::mm(-190.0);
    let text = &run.program.text;
    let verdict = prove_load(text, &part, &shop, &run.stands, &Tapping::default());
    assert!(
        verdict.breaches.iter().any(|breach| breach.code == "proof/travel" && breach.what.contains("over the load")),
        "{:#?}",
        verdict.breaches
    );
}

#[test]
fn a_zero_of_its_own_that_is_forgotten_is_seen() {
    let part = m5_key();
    let mut shop = demo_shop("canned");
    shop.batch.loading.zeros = Zeros::Each;
    let (_, _, loads) = ordered(&part, &shop, 4, Some(4));
    let run = &loads[0];
    let line = run.program.text.lines().find(|line| line.ends_with(" G56")).expect("the third place's zero").to_owned();
    let verdict = broken(&part, &shop, run, &line, "N5");
    assert!(!verdict.proved() && !verdict.pieces[2].holds(), "the third piece has no spots; the second has them twice");
    let verdict = broken(&part, &shop, run, &line, &line.replace("G56", "G59"));
    assert!(verdict.breaches.iter().any(|breach| breach.code == "proof/work-offset"), "no place has its zero there");
}

#[test]
fn sizes_of_loads_that_cannot_be_are_refused_with_what_works() {
    let (part, shop) = (m5_key(), demo_shop("canned"));
    let plan = planned(&part, &shop);
    let runs = runs(&plan, &part, &shop, &stamp(), true);
    let times: Vec<&Times> = runs.iter().map(|run| &run.verdict.times).collect();
    let refused = |shop: &Shop, per_load: u32| {
        let count = Count { ordered: 50, spares: 0 };
        let checked = batch::batch(&part, &plan, &times, shop, count, Some(per_load));
        let finding = checked.findings.into_iter().find(|one| one.severity == Severity::Refused).expect("refused");
        format!("{} {} {}", finding.headline, finding.notes.join(" "), finding.helps.join(" "))
    };
    let told = refused(&shop, 20);
    assert!(
        told.contains("20 pieces at a time") && told.contains("load=6 would do") && told.contains("6 at most"),
        "{told}"
    );
    // A table that is too short for the plate.
    let mut short = shop.clone();
    short.machine.x.from = Length::mm(-150.0);
    let told = refused(&short, 6);
    assert!(
        told.contains("the machine travels 150 mm; 2 along X would go") && told.contains("load=1 would do"),
        "{told}"
    );
    // Rests too high for the jaws to grip.
    let mut high = shop.clone();
    high.batch.plates[0].hold.as_mut().expect("a hold").parallels = vec![Length::mm(9.0)];
    let told = refused(&high, 6);
    assert!(told.contains("must be gripped"), "{told}");
    // A plate of an older shop, of which nobody told what holds the pieces.
    let mut untold = shop.clone();
    untold.batch.plates[0].hold = None;
    let told = refused(&untold, 6);
    assert!(told.contains("does not say what holds a piece on it"), "{told}");
    // Places with too little between them.
    let mut tight = shop;
    tight.batch.plates[0].pitch_x = Length::mm(66.0);
    let told = refused(&tight, 6);
    assert!(told.contains("between the ends of two pieces, there are 6 mm"), "{told}");
}
