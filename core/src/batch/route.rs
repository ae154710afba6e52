//! The route card: every step from the rack to the bag, with its place, its check and its time.

use serde::{Deserialize, Serialize};

use super::count::Count;
use super::cut::CutList;
use super::length::held_length;
use super::load::{Load, Way};
use super::time::SetupTime;
use crate::part::{Ends, Feature, Holes, Part};
use crate::plan::{Plan, load_file, program_file};
use crate::quantity::{Time, Unit, pick};
use crate::shop::Shop;
use crate::standards::material::Group;

/// A step of the route card.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Step {
    /// Its number: 10, 20, 30.
    pub number: u32,
    /// What is done, in a few words.
    pub work: String,
    /// Where.
    pub place: String,
    /// The file of the program that runs, where one does.
    pub program: Option<String>,
    /// How, in a sentence or two.
    pub text: String,
    /// What is checked.
    pub check: String,
    /// How often.
    pub count: u32,
    /// What one is: `bar`, `piece`, `load`, `lot`.
    pub of: String,
    /// Time for one.
    pub each: Time,
    /// Time beside that, once.
    pub once: Time,
}

impl Step {
    /// Time for all.
    pub fn total(&self) -> Time {
        self.once + self.each * f64::from(self.count)
    }

    /// How, with the program that runs.
    pub fn told(&self) -> String {
        self.program.as_ref().map_or_else(|| self.text.clone(), |program| format!("{program}: {}", self.text))
    }
}

struct Card {
    steps: Vec<Step>,
}

impl Card {
    fn add(
        &mut self,
        (work, place): (&str, &str),
        (text, check): (String, String),
        (count, of): (u32, &str),
        each: Time,
    ) {
        let number = self.steps.last().map_or(10, |step| step.number + 10);
        self.steps.push(Step {
            number,
            work: work.to_owned(),
            place: place.to_owned(),
            program: None,
            text,
            check,
            count,
            of: of.to_owned(),
            each,
            once: Time::ZERO,
        });
    }
}

/// The route card of an order.
pub fn route(
    part: &Part,
    plan: &Plan,
    cut_list: &CutList,
    setups: &[(SetupTime, Load)],
    shop: &Shop,
    count: Count,
) -> Vec<Step> {
    let unit = part.unit;
    let say = |length| unit.say(length);
    let bench = &shop.batch.bench;
    let total = count.total();
    let mut card = Card { steps: Vec::new() };
    let saw = &cut_list.saw;
    card.add(
        ("Take the bar", "rack"),
        (
            format!("{}, {}. Mark one end with the colour of the alloy.", part.blank.bar, part.material.title),
            format!("{} × {} in two places", say(part.blank.width), say(part.blank.height)),
        ),
        (1, "lot"),
        bench.receive,
    );
    let cuts = cut_list.bars.iter().map(|bar| bar.bars * bar.cuts.iter().map(|cut| cut.count).sum::<u32>()).sum();
    card.add(
        ("Saw", "saw"),
        (
            format!("{} as the cut list says; set the stop with the first piece.", blanks(total)),
            format!(
                "{} to {} more, every tenth",
                say(part.length.nominal + saw.facing * 2.0),
                if unit == Unit::Mm { "0.5 mm" } else { "0.02 in" }
            ),
        ),
        (cuts, "cut"),
        saw.cut,
    );
    card.add(
        ("Deburr and count", "bench"),
        ("Take the saw's burr off, wash, count.".to_owned(), blanks(total)),
        (total, "piece"),
        bench.saw_burr,
    );
    let held = held_length(part);
    let why = held.why(part).map_or_else(String::new, |why| format!(" {why}"));
    let to_length = format!("{} to {}", say(held.least), say(held.most));
    if part.ends == Ends::default() {
        card.add(
            ("Face to length", "mill"),
            (
                format!("Face one end, turn end for end against the stop, face the other to length.{why}"),
                format!("{to_length}, ends square"),
            ),
            (total, "piece"),
            bench.face,
        );
    }
    card.add(
        ("Set up", "mill"),
        (
            "Vise, parallels and stop as the setup sheet shows; find the datum; set the tools; run the program above the part.".to_owned(),
            "distance to go at each first move down".to_owned(),
        ),
        (1, "lot"),
        bench.set_up,
    );
    card.add(
        ("First piece", "mill and bench"),
        (
            "Single steps. Measure before it is unclamped; give the readings to whoever makes the program.".to_owned(),
            "first-piece sheet, whole".to_owned(),
        ),
        (1, "lot"),
        bench.first_piece,
    );
    // The setup whose program makes the length, if one does.
    let sizing = plan.setups.iter().rfind(|setup| setup.pose.mills_an_end()).map(|setup| setup.setup.number);
    for (time, load) in setups {
        let per = setup_text(load);
        let program =
            if load.pieces > 1 { load_file(time.setup, load.pieces, true) } else { program_file(time.setup, true) };
        let text = format!("{per} Chips off stops, supports and jaws before each load.");
        let sizes = sizing == Some(time.setup) && held.place.is_some();
        let text = if sizes { format!("{text}{why}") } else { text };
        let check = || {
            let length = if sizes { format!("length {to_length}: ") } else { String::new() };
            format!("{length}pieces 1, 2, 5, 10, 15 …; first after each change of a tool")
        };
        let partial = load.partial();
        let full = if partial.is_some() { load.loads - 1 } else { load.loads };
        card.add(("Mill", "mill"), (text, check()), (full, "load"), load.each);
        if let Some(step) = card.steps.last_mut() {
            step.once = load.ready;
            step.program = Some(program);
        }
        if let Some(last) = partial {
            let left = load.pieces - load.last;
            let text = format!("places 1 to {}, the other {left} empty.", load.last);
            card.add(("Mill the last load", "mill"), (text, check()), (1, "load"), last);
            if let Some(step) = card.steps.last_mut() {
                step.program = Some(load_file(time.setup, load.last, true));
            }
        }
    }
    after(&mut card, part, plan, shop, count);
    card.steps
}

fn blanks(count: u32) -> String {
    if count == 1 { "1 blank".to_owned() } else { format!("{count} blanks") }
}

fn setup_text(load: &Load) -> String {
    match &load.way {
        Way::One => "One piece in the vise.".to_owned(),
        Way::Row | Way::Plate(_) => format!("{}: {} pieces a load.", capital(&load.title), load.pieces),
    }
}

/// The threads of groups of holes, each once.
fn threads<'p>(groups: impl Iterator<Item = (&'p Feature, &'p Holes)>) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for (thread, _) in groups.filter_map(|(_, holes)| holes.thread()) {
        if !names.contains(&thread.name) {
            names.push(thread.name.clone());
        }
    }
    names
}

/// From the mill to the bag.
fn after(card: &mut Card, part: &Part, plan: &Plan, shop: &Shop, count: Count) {
    let bench = &shop.batch.bench;
    let total = count.total();
    let threads = threads(part.holes());
    let by_hand: Vec<&str> = plan.tapped_by_hand().collect();
    let tapped = || part.holes().filter(|(feature, _)| by_hand.contains(&feature.id.as_str()));
    if !by_hand.is_empty() {
        let holes: usize = tapped().map(|(_, holes)| holes.places.len()).sum();
        card.add(
            ("Tap", "bench"),
            (format!("Tap by hand: {}.", self::threads(tapped()).join(", ")), "GO enters by hand".to_owned()),
            (total, "piece"),
            // Twenty seconds a hole. Common practice, no source.
            Time::second(20.0) * holes.min(1000).try_into().map_or(1.0, |holes: u32| f64::from(holes)),
        );
    }
    let edges = part.edge_break.map_or_else(
        || "Break all edges lightly.".to_owned(),
        |(least, most)| format!("Break all edges {} to {}.", part.unit.say(least), part.unit.say(most)),
    );
    let turn = if threads.is_empty() { "" } else { " Countersink the far side of the holes by hand." };
    card.add(
        ("Deburr", "bench"),
        (format!("{edges}{turn}"), "no burr, by eye and glass".to_owned()),
        (total, "piece"),
        bench.deburr,
    );
    if bench.tumble > Time::ZERO {
        card.add(
            ("Tumble", "bench"),
            (
                format!(
                    "{} by themselves. Media smaller than a third of a hole's width or larger than one and a half, or it lodges.",
                    group(part.material.group)
                ),
                "no media left in the holes".to_owned(),
            ),
            (1, "lot"),
            bench.tumble,
        );
    }
    let dry = match part.material.group {
        Group::Steel | Group::CastIron => "Oil against rust.",
        Group::Brass => "Clean hands from here on: brass tarnishes.",
        Group::Aluminium | Group::Stainless | Group::Plastic => "Dry whole, holes too.",
    };
    card.add(
        ("Wash and dry", "bench"),
        (
            format!(
                "Warm water with a mild cleaner, rinse, dry. Blow holes out shielded, below {AIR}, eyes covered. {dry}"
            ),
            "dry, no chips in the holes".to_owned(),
        ),
        (1, "lot"),
        bench.wash,
    );
    let gauges = if threads.is_empty() {
        "Try each piece in its place or its gauge.".to_owned()
    } else {
        format!("GO gauge in every thread {}; try each piece in its place or its gauge.", threads.join(", "))
    };
    card.add(
        ("Gauge", "bench"),
        (gauges, "all of them; bad ones go into the red box, counted".to_owned()),
        (total, "piece"),
        bench.gauge,
    );
    let ordered = count.ordered;
    let weight = pick(part.mass.as_gram() * f64::from(ordered), 4);
    card.add(
        ("Count, bag, label", "bench"),
        (
            "Each with what the hardware list says, then the label.".to_owned(),
            format!("{ordered} counted; {weight} g of pieces on the scale"),
        ),
        (ordered, "piece"),
        bench.bag,
    );
}

/// The most that compressed air has where it cleans: 29 CFR 1910.242(b), less than 30 psi.
pub const AIR: &str = "2 bar (30 psi)";

const fn group(group: Group) -> &'static str {
    match group {
        Group::Brass => "Brass",
        Group::Aluminium => "Aluminium",
        Group::Steel => "Steel",
        Group::Stainless => "Stainless steel",
        Group::CastIron => "Cast iron",
        Group::Plastic => "Plastic",
    }
}

fn capital(text: &str) -> String {
    let mut signs = text.chars();
    signs.next().map_or_else(String::new, |first| first.to_uppercase().collect::<String>() + signs.as_str())
}

#[cfg(test)]
mod tests {
    use super::super::{Count, batch};
    use super::*;
    use crate::plan::tests::{m5_key, planned};
    use crate::proof::Times;
    use crate::shop::demo_shop;

    #[test]
    fn from_the_rack_to_the_bag() {
        let (part, shop) = (m5_key(), demo_shop("canned"));
        let plan = planned(&part, &shop);
        let sections: Vec<(u32, Time)> = plan.tools.iter().map(|tool| (tool.number, Time::second(175.0))).collect();
        let count = sections.iter().fold(0.0, |count, _| count + 1.0);
        let times = Times { sections, total: Time::second(175.0 * count), ..Times::default() };
        let count_of = |spares| Count { ordered: 50, spares };
        let part_loads = batch(&part, &plan, &[&times], &shop, count_of(0), None).value.expect("an order");
        let steps = part_loads.route.iter().filter(|step| step.work.starts_with("Mill"));
        let mills: Time = steps.map(Step::total).sum();
        assert!((mills - part_loads.mill).abs() < Time::second(1e-6), "eight full loads and one of two");
        let done = batch(&part, &plan, &[&times], &shop, count_of(4), None);
        let done = done.value.unwrap_or_else(|| panic!("{:?}", done.findings));
        let works: Vec<&str> = done.route.iter().map(|step| step.work.as_str()).collect();
        let want = [
            "Take the bar",
            "Saw",
            "Deburr and count",
            "Face to length",
            "Set up",
            "First piece",
            "Mill",
            "Deburr",
            "Tumble",
            "Wash and dry",
            "Gauge",
            "Count, bag, label",
        ];
        assert_eq!(works, want, "in the order of work");
        assert!(
            done.route.iter().zip((1..).map(|number| number * 10)).all(|(step, number)| step.number == number),
            "10, 20, 30"
        );
        let mill = done.route.iter().find(|step| step.work == "Mill").expect("a load");
        assert!((mill.total() - done.mill).abs() < Time::second(1e-6), "nine full loads");
        // 75 s of each section are change and start, 100 s are the piece's own.
        let (time, load) = &done.setups[0];
        assert_eq!(time.shared(), Time::second(75.0 * count), "changes and starts");
        assert_eq!(time.cut(), Time::second(100.0 * count), "cutting");
        assert_eq!(load.pieces, 6, "the plate pays: {}", load.reason);
        let saw = &done.route[1];
        assert_eq!((saw.count, saw.total()), (54, Time::second(54.0 * 40.0)), "a cut a piece");
        assert_eq!(done.total, done.route.iter().map(Step::total).sum(), "all of it");
        assert!(done.cut_list.bars[0].rest, "the rests of the rack first");
        let mut missing = shop.clone();
        missing.rack.retain(|bar| bar.name != part.blank.bar);
        let refused = batch(&part, &plan, &[&times], &missing, Count { ordered: 1, spares: 0 }, None);
        assert_eq!(refused.findings[0].code, "batch/no-bar", "not on the rack");
    }
}
