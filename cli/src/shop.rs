//! `barwright shop`: the workshop as it was read, and a copy of the demo workshop to start from.

use std::fmt::Write;
use std::path::Path;

use barwright_core::quantity::{Length, Unit, trimmed};
use barwright_core::shop;
use serde_json::json;

use crate::args::ShopShown;
use crate::lines::wrapped;
use crate::{Failure, Outcome, embedded, files, save};

/// Width of the names at the left.
const NAMES: usize = 13;

/// Tells of the shop, or starts one.
pub(crate) fn run(arguments: &ShopShown) -> Outcome {
    if let Some(folder) = &arguments.start {
        return start(folder, arguments.form.json);
    }
    let shop = files::shop(&arguments.place.shop, arguments.place.control.as_deref())?;
    if arguments.form.json {
        return Ok(serde_json::to_string_pretty(&shop).unwrap_or_default() + "\n");
    }
    let mut text = format!("{}\n\n", shop.owner);
    if let Some(place) = files::found_shop(&arguments.place.shop) {
        line(&mut text, "from", &place);
    }
    told(&mut text, &shop);
    text.push_str("\nbarwright shop --start FOLDER copies the demo shop, for you to edit.\n");
    Ok(text)
}

/// Copies the demo shop into a folder that is not there.
fn start(folder: &Path, json: bool) -> Outcome {
    let shown = folder.display();
    if folder.exists() {
        return Err(Failure::Refused(format!(
            "refused  {shown} is there; a shop of yours might be in it.\n  try    A folder that is not there."
        )));
    }
    let copied: Vec<(String, Vec<u8>)> =
        embedded::SHOP.iter().map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec())).collect();
    save::write_whole(folder, &copied)?;
    let names: Vec<&str> = embedded::SHOP.iter().map(|(name, _)| *name).collect();
    if json {
        let paths: Vec<String> = names.iter().map(|name| folder.join(name).display().to_string()).collect();
        return Ok(json!({ "written": paths }).to_string() + "\n");
    }
    Ok(format!(
        "Written to {shown}:\n  {}\nMake it yours: owner, machine, tools and bars. Then look again:\n\n  barwright shop --shop {shown}\n  barwright make joining-key --shop {shown}\n",
        wrapped(&names.join(", "), 2)
    ))
}

fn line(text: &mut String, name: &str, said: &str) {
    let _infallible = writeln!(text, "  {name:NAMES$}{}", wrapped(said, NAMES + 2));
}

/// The shop in the words of the bench.
fn told(text: &mut String, shop: &shop::Shop) {
    let say = |length: Length| Unit::Mm.say(length);
    let machine = &shop.machine;
    line(text, "machine", &machine.title);
    let way = |travel: &shop::Travel| say(travel.to - travel.from);
    line(text, "travel", &format!("X {}, Y {}, Z {}", way(&machine.x), way(&machine.y), way(&machine.z)));
    let (least, most) = (trimmed(machine.spindle_min.as_rpm(), 0), trimmed(machine.spindle_max.as_rpm(), 0));
    line(text, "spindle", &format!("{least} to {most} rpm, {} W", trimmed(machine.spindle_watts, 0)));
    let feed = trimmed(machine.feed_max.as_mm_per_min(), 0);
    line(text, "feed", &format!("{feed} mm/min, rapid {} mm/min", trimmed(machine.rapid.as_mm_per_min(), 0)));
    line(text, "control", &format!("{}: {}", shop.control.name, shop.control.title));
    line(text, "vise", &format!("opens {}", say(shop.vise.opening)));
    text.push_str("\ntools\n");
    let mut tools: Vec<&shop::Tool> = shop.tools.iter().collect();
    tools.sort_by_key(|tool| tool.number);
    for tool in tools {
        let _infallible = writeln!(
            text,
            "  {:>3}  {:38} edges {:>9}  out {:>9}",
            tool.number,
            tool.title,
            say(tool.flute_length),
            say(tool.stick_out)
        );
    }
    text.push_str("\nbars\n");
    for bar in &shop.rack {
        let lengths = |list: &[Length]| list.iter().map(|length| say(*length)).collect::<Vec<_>>().join(", ");
        let rests = if bar.rests.is_empty() { String::new() } else { format!("; offcuts of {}", lengths(&bar.rests)) };
        let _infallible = writeln!(text, "  {:20}  {:20}  {}{rests}", bar.name, bar.material, lengths(&bar.lengths));
    }
}
