//! Each table as CSV (RFC 4180), times in seconds; lengths in the unit that the caller wants, which
//! stands beside them.

use super::adjust::{Adjustment, Correction, Verdict};
use super::cut::CutList;
use super::hardware::Item;
use super::load::Load;
use super::route::Step;
use super::time::SetupTime;
use crate::quantity::{Length, Time, Unit, fixed, trimmed};

/// A table that is being written.
struct Table {
    text: String,
}

impl Table {
    /// The head names the columns and, at its end, the part that the table belongs to.
    fn new(head: &[&str], digest: &str) -> Self {
        let mut table = Self { text: String::new() };
        let mut cells: Vec<String> = head.iter().map(|name| (*name).to_owned()).collect();
        cells.push(format!("part {digest}"));
        table.row(&cells);
        table
    }

    fn row(&mut self, cells: &[String]) {
        let cells: Vec<String> = cells.iter().map(|text| cell(text)).collect();
        self.text.push_str(&cells.join(","));
        self.text.push_str("\r\n");
    }

    /// A row below the head: its last cell stays empty.
    fn add(&mut self, mut cells: Vec<String>) {
        cells.push(String::new());
        self.row(&cells);
    }
}

/// Quoted where it must be, and never read as a formula; a number with its sign stays one.
fn cell(text: &str) -> String {
    let number = text.parse::<f64>().is_ok();
    let formula = !number && text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let text = if formula { format!("'{text}") } else { text.to_owned() };
    if text.contains([',', '"', '\n', '\r']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}

fn length(unit: Unit, length: Length) -> String {
    trimmed(unit.of(length), unit.decimals())
}

fn seconds(time: Time) -> String {
    fixed(time.as_second(), 0)
}

/// The cut list: a row for the pieces of one length from bars that are cut alike.
pub fn cut_list_csv(list: &CutList, unit: Unit, digest: &str) -> String {
    let head = [
        "bar_from",
        "bar_to",
        "stock",
        "stock_length",
        "trim",
        "part",
        "cut_length",
        "pieces_per_bar",
        "pieces",
        "used_up_to",
        "left",
        "left_goes",
        "unit",
    ];
    let mut table = Table::new(&head, digest);
    for bar in &list.bars {
        for (at, cut) in bar.cuts.iter().enumerate() {
            let ends = at + 1 == bar.cuts.len();
            let of_bar = |text: String| if ends { text } else { String::new() };
            table.add(vec![
                bar.first.to_string(),
                (bar.first + bar.bars - 1).to_string(),
                if bar.rest { "offcut".to_owned() } else { list.bar.clone() },
                length(unit, bar.stock),
                length(unit, bar.trim),
                cut.name.clone(),
                length(unit, cut.length),
                cut.count.to_string(),
                (cut.count * bar.bars).to_string(),
                length(unit, cut.up_to),
                of_bar(length(unit, bar.left)),
                of_bar(if bar.keep { "to the rack" } else { "scrap" }.to_owned()),
                unit.sign().to_owned(),
            ]);
        }
    }
    table.text
}

/// The hardware list.
pub fn hardware_csv(items: &[Item], digest: &str) -> String {
    let mut table = Table::new(&["item", "per_piece", "needed", "take", "key", "torque"], digest);
    for item in items {
        table.add(vec![
            item.item.clone(),
            item.each.map(|each| each.to_string()).unwrap_or_default(),
            item.count.to_string(),
            item.take.to_string(),
            item.key.clone(),
            item.torque.clone(),
        ]);
    }
    table.text
}

/// Times at the mill for one piece, tool by tool, then those of a load and of all loads.
pub fn times_csv(setups: &[(SetupTime, Load)], route: &[Step], digest: &str) -> String {
    let mut table = Table::new(&["what", "tool", "work", "count", "each_s", "once_s", "total_s"], digest);
    for (time, load) in setups {
        for tool in &time.tools {
            table.add(vec![
                format!("setup {} change", time.setup),
                tool.tool.to_string(),
                String::new(),
                load.loads.to_string(),
                seconds(tool.change - time.stays),
                seconds(time.stays),
                seconds(time.stays + (tool.change - time.stays) * f64::from(load.loads)),
            ]);
            let pieces = (load.loads - 1) * load.pieces + load.last;
            table.add(vec![
                format!("setup {} cut", time.setup),
                tool.tool.to_string(),
                tool.work.clone(),
                pieces.to_string(),
                seconds(tool.cut),
                "0".to_owned(),
                seconds(tool.cut * f64::from(pieces)),
            ]);
        }
    }
    for step in route {
        table.add(vec![
            format!("step {}", step.number),
            String::new(),
            step.work.clone(),
            step.count.to_string(),
            seconds(step.each),
            seconds(step.once),
            seconds(step.total()),
        ]);
    }
    let total: Time = route.iter().map(Step::total).sum();
    let blank = String::new;
    table.add(vec!["altogether".to_owned(), blank(), blank(), blank(), blank(), blank(), seconds(total)]);
    table.text
}

/// The loads: a row for each place.
pub fn loads_csv(setups: &[(SetupTime, Load)], unit: Unit, digest: &str) -> String {
    let head = ["setup", "way", "pieces", "loads", "last_load", "place", "x", "y", "unit"];
    let mut table = Table::new(&head, digest);
    for (time, load) in setups {
        for (at, place) in load.places.iter().enumerate() {
            table.add(vec![
                time.setup.to_string(),
                load.title.clone(),
                load.pieces.to_string(),
                load.loads.to_string(),
                load.last.to_string(),
                (at + 1).to_string(),
                length(unit, place.x),
                length(unit, place.y),
                unit.sign().to_owned(),
            ]);
        }
    }
    table.text
}

/// The route card.
pub fn route_csv(route: &[Step], digest: &str) -> String {
    let mut table = Table::new(&["step", "work", "where", "how", "check", "count", "of", "each_s", "total_s"], digest);
    for step in route {
        table.add(vec![
            step.number.to_string(),
            step.work.clone(),
            step.place.clone(),
            step.told(),
            step.check.clone(),
            step.count.to_string(),
            step.of.clone(),
            seconds(step.each),
            seconds(step.total()),
        ]);
    }
    table.text
}

/// Readings in the part's unit, and corrections in that of the control, `mill`.
pub fn adjustment_csv(adjustment: &Adjustment, unit: Unit, mill: Unit, digest: &str) -> String {
    let mut table = Table::new(&["what", "name", "least", "most", "aim", "read", "verdict", "text", "unit"], digest);
    for judged in &adjustment.judged {
        let word = match judged.verdict {
            Verdict::Good => "good",
            Verdict::Corrected => "corrected",
            Verdict::NotByOffset => "no offset",
        };
        table.add(vec![
            "reading".to_owned(),
            judged.name.clone(),
            length(unit, judged.least),
            length(unit, judged.most),
            length(unit, judged.aim),
            judged.measured.map(|measured| length(unit, measured)).unwrap_or_default(),
            word.to_owned(),
            judged.text.clone(),
            unit.sign().to_owned(),
        ]);
    }
    for correction in &adjustment.corrections {
        let (name, from, to, why) = match correction {
            Correction::Diameter { tool, from, to, why, .. } => {
                (format!("T{tool} diameter"), length(mill, *from), length(mill, *to), why)
            }
            Correction::LengthOffset { tool, by, why, .. } => {
                (format!("H{tool} add"), String::new(), length(mill, *by), why)
            }
            Correction::Datum { setup, axis, by, why } => {
                let axis = axis.letter();
                let which = setup.map_or_else(String::new, |setup| format!(" of setup {setup}"));
                (format!("zero {axis}{which} add"), String::new(), length(mill, *by), why)
            }
        };
        let blank = String::new;
        table.add(vec![
            "correction".to_owned(),
            name,
            blank(),
            blank(),
            to,
            from,
            blank(),
            why.clone(),
            mill.sign().to_owned(),
        ]);
    }
    table.text
}

#[cfg(test)]
mod tests {
    use super::super::{Count, ToolTime, Want, cut_list, hardware};
    use super::*;
    use crate::plan::tests::m5_key;
    use crate::shop::{Saw, demo_shop};

    #[test]
    fn every_row_has_the_cells_of_its_head() {
        let shop = demo_shop("canned");
        let bar = shop.rack.iter().find(|bar| bar.name == "brass 16 x 12").expect("on the rack");
        let wants = [Want { name: "A, \"long\"".to_owned(), length: Length::mm(60.0), count: 70 }];
        let list = cut_list(&wants, bar, &Saw::USUAL, Unit::Mm).value.expect("a list");
        let text = cut_list_csv(&list, Unit::Mm, "0123456789ab");
        assert!(text.starts_with("bar_from,bar_to,"), "{text}");
        assert!(text.contains("\"A, \"\"long\"\"\""), "quoted: {text}");
        assert!(text.lines().next().expect("a head").ends_with(",part 0123456789ab"), "whose it is");
        let hard = hardware_csv(&hardware(&m5_key(), Count { ordered: 1, spares: 0 }), "0");
        assert_eq!(hard, "item,per_piece,needed,take,key,torque,part 0\r\n", "no hardware, no rows");
        let commas = |line: &str| {
            let mut quoted = false;
            let outside = line.chars().filter(|sign| {
                quoted ^= *sign == '"';
                *sign == ',' && !quoted
            });
            outside.count()
        };
        let counts: Vec<usize> = text.lines().map(commas).collect();
        assert!(counts.windows(2).all(|pair| pair[0] == pair[1]), "{counts:?}");
    }

    /// One tool stays in the spindle from load to load: 70 s of its 72 are spent once, and the rows of
    /// the mill come to what the route card has.
    #[test]
    fn a_tool_that_stays_is_changed_once() {
        let shop = demo_shop("canned");
        let part = m5_key();
        let plan = crate::plan::tests::planned(&part, &shop);
        let second = Time::second;
        let tool = ToolTime { tool: 4, work: "Mill".to_owned(), change: second(72.0), cut: second(100.0) };
        let time = SetupTime { setup: 1, tools: vec![tool], stays: second(70.0) };
        let load = super::super::load(&part, &plan.setups[0], &time, &shop, 50, Some(1)).value.expect("one by one");
        let text = times_csv(&[(time.clone(), load.clone())], &[], "0");
        let change = text.lines().find(|line| line.contains("setup 1 change")).expect("a row");
        assert_eq!(change, "setup 1 change,4,,50,2,70,170,", "2 s a load and 70 s once: 50 × 2 + 70");
        let hands = (shop.batch.loading.load + shop.batch.loading.piece) * 50.0;
        assert_eq!(load.total - hands, second(170.0 + 5000.0), "as the packet has it");
    }

    #[test]
    fn nothing_is_read_as_a_formula() {
        assert_eq!(cell("=1+1"), "'=1+1", "a formula");
        assert_eq!(cell("-0.155"), "-0.155", "a number");
        assert_eq!(cell("@x"), "'@x", "another");
    }
}
