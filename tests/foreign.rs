//! Programs as others read them: two readers of RS-274 that nobody here wrote (the crates `gcode`
//! and `g-code`), and our own checks of the published rules for what those two cannot judge.
//!
//! The two judge the spelling alone. `g-code` takes exact decimals and refuses a line break behind
//! the closing percent sign; `gcode` holds numbers in 32 bits. Neither knows arcs, modes, feed or
//! spindle: [`barwright_tests::outsider`] does.

use std::collections::BTreeMap;

use barwright_core::quantity::Unit;
use barwright_core::shop::Control;
use barwright_tests::dice::Dice;
use barwright_tests::outsider::{breaches, split};
use barwright_tests::{CONTROLS, EXAMPLES, demo_shop, example, key, make, promising};

/// So many random variants are made for each control.
const VARIANTS: usize = 20;

/// How often each letter starts a word.
type Count = BTreeMap<char, usize>;

fn add(count: &mut Count, letter: char) {
    *count.entry(letter.to_ascii_uppercase()).or_default() += 1;
}

/// Words as `gcode` sees them.
fn by_gcode(program: &str) -> Result<Count, String> {
    // It knows no percent sign: those frame the program and are no words.
    let body = program.lines().filter(|line| *line != "%").collect::<Vec<_>>().join("\n");
    let read = gcode::parse(&body).map_err(|found| format!("{found:?}"))?;
    let mut count = Count::new();
    for block in &read.blocks {
        if block.line_number.is_some() {
            add(&mut count, 'N');
        }
        for word in &block.word_addresses {
            add(&mut count, word.letter);
        }
        for code in &block.codes {
            let (letter, arguments) = match code {
                gcode::Code::General(code) => ('G', &code.args),
                gcode::Code::Miscellaneous(code) => ('M', &code.args),
                gcode::Code::ToolChange(code) => ('T', &code.args),
                other => return Err(format!("an unknown code {other:?}")),
            };
            add(&mut count, letter);
            for argument in arguments {
                add(&mut count, argument.letter);
            }
        }
    }
    Ok(count)
}

/// Words as `g-code` sees them.
fn by_g_code(program: &str) -> Result<Count, String> {
    let read = g_code::parse::file_parser(program.trim_end()).map_err(|error| error.to_string())?;
    let mut count = Count::new();
    if let Some(flag) = read.iter_flags().next() {
        return Err(format!("a letter without a number: {flag:?}"));
    }
    for token in read.iter_emit_tokens() {
        if let g_code::emit::Token::Field(field) = token {
            add(&mut count, field.letters.chars().next().unwrap_or('?'));
        }
    }
    Ok(count)
}

/// Words as they fall apart at blanks.
fn by_blanks(program: &str) -> Result<Count, String> {
    let mut count = Count::new();
    for line in program.lines() {
        for word in split(line)?.words {
            add(&mut count, word.letter);
        }
    }
    Ok(count)
}

/// Everything that anyone finds wrong with a program.
fn judged(program: &str, control: &Control) -> Vec<String> {
    let mut wrong = breaches(program, control);
    let counts = [("gcode", by_gcode(program)), ("g-code", by_g_code(program)), ("blanks", by_blanks(program))];
    let mut first: Option<Count> = None;
    for (reader, count) in counts {
        match count {
            Err(error) => wrong.push(format!("{reader}: {error}")),
            Ok(count) => match &first {
                Some(other) if *other != count => wrong.push(format!("{reader} counts {count:?}, others {other:?}")),
                Some(_) => {}
                None => first = Some(count),
            },
        }
    }
    wrong
}

fn held(what: &str, program: &str, control: &Control) {
    let wrong = judged(program, control);
    let shown = wrong.iter().take(12).cloned().collect::<Vec<_>>().join("\n");
    assert!(wrong.is_empty(), "{what}: {} breaches\n{shown}", wrong.len());
}

#[test]
fn the_examples_by_every_control() {
    let family = key();
    for control in CONTROLS {
        let shop = demo_shop(control);
        for name in EXAMPLES {
            let job = make(&family, example(name), &shop);
            let goods = job.goods.unwrap_or_else(|| panic!("{name} is good: {:#?}", job.findings));
            let unit = shop.control.unit.unwrap_or(goods.part.unit);
            let word = if unit == Unit::Mm { "G21" } else { "G20" };
            assert!(goods.runs[0].program.text.contains(word), "{name} by {control}: {word}");
            held(&format!("{name} by {control}"), &goods.runs[0].program.text, &shop.control);
        }
    }
}

#[test]
fn random_variants_by_every_control() {
    let family = key();
    let shops: Vec<_> = CONTROLS.iter().map(|control| (control, demo_shop(control))).collect();
    let mut dice = Dice::new(274);
    let (mut made, mut tried) = (0, 0);
    while made < VARIANTS {
        tried += 1;
        assert!(tried < 4000, "only {made} of {tried} random keys are good");
        let inputs = dice.likely_key();
        if !promising(&family, &inputs, &shops[0].1.rack) {
            continue;
        }
        // The first control shows whether the sizes are good at all.
        for (control, shop) in &shops {
            let job = make(&family, inputs.clone(), shop);
            let Some(goods) = job.goods else { break };
            held(&format!("{:?} by {control}", inputs.given), &goods.runs[0].program.text, &shop.control);
            made += usize::from(**control == CONTROLS[0]);
        }
    }
}

#[test]
fn hostile_texts_stay_in_their_comments() {
    let family = key();
    for control in CONTROLS {
        let mut shop = demo_shop(control);
        shop.owner = "Loom (and) Row\r\n%\nM30;".to_owned();
        for title in
            ["key) M30\nG0 Z-50 (", "%\n", "(((", "MSG, hello", "ÄÖß ⌀5 × 90° \u{2028} \u{0} end", "; M3 S9999"]
        {
            let order = barwright_core::job::Order {
                inputs: example("warping-frame"),
                title: Some(title.to_owned()),
                format: None,
                stamp: barwright_core::drawing::Stamp { revision: "A)\nM3".to_owned(), ..Default::default() },
                unproved: false,
            };
            let job = barwright_core::job::make(&family, &order, &shop);
            let goods = job.goods.unwrap_or_else(|| panic!("{title:?} refuses: {:#?}", job.findings));
            held(&format!("{title:?} by {control}"), &goods.runs[0].program.text, &shop.control);
        }
    }
}

/// Each rule finds the program that breaks it: the good program with one text put in another's
/// place.
#[test]
fn these_checks_can_fail() {
    let family = key();
    let shop = demo_shop("canned");
    let job = make(&family, example("warping-frame"), &shop);
    let good = job.goods.expect("the example is good").runs[0].program.text.clone();
    held("the example", &good, &shop.control);
    for (from, to, told) in [
        ("N10 G21\n", "", "the units is ``"),
        ("N20 G17", "N20 G17 G18", "the group plane stands twice"),
        ("T1 M6", "T1", "not changed"),
        ("S7270 M3", "M3", "with spindle false"),
        ("G43 H1", "G43 H2", "while the tool is"),
        ("G43 H1 ", "", "without the length"),
        (" F349.0", "", "feed false"),
        ("R2.0", "R2", "bare whole number"),
        ("R2.0", "R.5", "no figure on one side"),
        ("G99 G82", "G99 G0 G82", "the group motion stands twice"),
        ("X-22.5 Y0.0 Z-2.625", "X-22.5 X3.0 Y0.0 Z-2.625", "X stands twice"),
        ("X-22.5 Y0.0 Z-2.625", "X-22.5 Y0.0 Z-2.6251", "more than 3 decimals"),
        ("I0.388 J0.0 F87.3", "I0.398 J0.0 F52.4", "the radii of an arc"),
        ("G3 X-21.724 Y0.0 Z-12.15 I-0.776", "G3 Z-12.15 I-0.776", "without X and Y"),
        ("N220 G0 Z5.0\n", "N220 G0 X1.0 Z5.0\n", "crosses and lifts"),
        ("(TOOL 12 DRILL 4.2 MM)\nN240 M5\n", "(TOOL 12 DRILL 4.2 MM)\n", "while the spindle runs"),
        ("M30", "M9", "does not end"),
        ("(TITLE JOINING KEY)", "(TITLE (JOINING KEY)", "bracket inside"),
        ("(TITLE JOINING KEY)", "(TITLE JOINING KEY", "not closed"),
        ("(TITLE JOINING KEY)", "(Title)", "small letter"),
        ("N10 G21", "N1000000 G21", "line number"),
        ("N10 G21", "G21", "no line number"),
        ("N30 G90", "N30 G90 E5.0", "no use"),
        ("N80 G54", "N80 G54\n\nN81 G54", "empty line"),
    ] {
        assert!(good.contains(from), "the example holds `{from}`");
        // Some words are said again for each tool: all of them go.
        let bad = if to.is_empty() || from.starts_with("N10 G21\n") {
            good.replace(from, to)
        } else {
            good.replacen(from, to, 1)
        };
        let bad = if from == "N10 G21\n" { bad.replace(" G21 ", " ") } else { bad };
        let wrong = judged(&bad, &shop.control).join("\n");
        assert!(wrong.contains(told), "`{to}` for `{from}` must say `{told}`, says:\n{wrong}");
    }
}
