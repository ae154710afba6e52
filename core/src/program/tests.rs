//! Programs of a small part, read as the machine would, by the rules of NISTIR 6556.

use super::*;
use crate::plan::tests::{deep_key, inch_key, left_key, m5_key, planned};
use crate::quantity::Unit;
use crate::shop::{ArcCentre, Control, Cycles, FullCircle, LengthOffset, demo_shop as demo};

const CONTROLS: [&str; 3] = ["canned", "written-out", "absolute"];

fn header() -> Header {
    Header {
        number: "JK-10-M5-60".to_owned(),
        title: "Joining key".to_owned(),
        revision: "A".to_owned(),
        digest: "4f1c 9a02".to_owned(),
        unit: Unit::Mm,
        material: "Brass C36000".to_owned(),
        stock: "60 × 16 × 12 from brass 16 x 12".to_owned(),
        owner: "Heddle Row Workshop".to_owned(),
        notes: Vec::new(),
        setups: 1,
        proved: true,
    }
}

fn program(control: &str) -> (Program, Control) {
    let shop = demo(control);
    (emit(&planned(&m5_key(), &shop).setups[0], &header(), &shop.control), shop.control)
}

/// The words of a line, without number and comment.
fn words(line: &str) -> Vec<(char, f64, String)> {
    let bare = line.split([';', '(']).next().unwrap_or("");
    bare.split_whitespace()
        .filter(|word| !word.starts_with('N') && *word != "%")
        .map(|word| {
            let letter = word.chars().next().expect("a word");
            (letter, word[1..].parse().unwrap_or_else(|_| panic!("{line}: `{word}`")), word.to_owned())
        })
        .collect()
}

fn word(words: &[(char, f64, String)], letter: char) -> Option<f64> {
    words.iter().find(|(known, ..)| *known == letter).map(|(_, value, _)| *value)
}

fn has(words: &[(char, f64, String)], code: &str) -> bool {
    words.iter().any(|(_, _, word)| word == code)
}

/// What a program does: straight moves and arcs, in the program's unit.
#[derive(Clone, Debug, PartialEq)]
enum Done {
    Rapid([f64; 3]),
    Feed([f64; 3], f64),
    Arc { from: [f64; 3], to: [f64; 3], centre: [f64; 2], feed: f64, tool: f64 },
    Dwell,
}

/// What a line must be by itself.
fn lexical(line: &str, words: &[(char, f64, String)], control: &Control) {
    assert!(line.len() <= control.line_length, "too long: {line}");
    assert!(line.bytes().all(|byte| byte == b' ' || byte.is_ascii_graphic()), "signs: {line}");
    for (letter, _, word) in words {
        if "XYZIJRQPF".contains(*letter) {
            let (whole, tail) = word[1..].split_once('.').unwrap_or_else(|| panic!("no point: {line}"));
            assert!(!whole.trim_start_matches('-').is_empty() && !tail.is_empty(), "digits: {line}");
        }
    }
    // One word of a modal group on a line; motion and G80 are one group (Table 4).
    let motion = ["G0", "G1", "G2", "G3", "G80", "G81", "G82", "G83"];
    assert!(motion.iter().filter(|code| has(words, code)).count() <= 1, "two motions: {line}");
    let axes = moves(words);
    assert!(!has(words, "G0") && !has(words, "G1") || axes, "a motion without an axis: {line}");
    assert!(!(axes && (has(words, "M5") || has(words, "M30"))), "stops before it moves: {line}");
}

fn moves(words: &[(char, f64, String)]) -> bool {
    "XYZ".chars().any(|letter| word(words, letter).is_some())
}

/// G81, G82 or G83 as it stands.
struct Cycle {
    depth: f64,
    from: f64,
    feed: f64,
    peck: Option<f64>,
    dwell: bool,
}

impl Cycle {
    fn of(line: &str, words: &[(char, f64, String)]) -> Self {
        assert!(has(words, "G99"), "goes back to R: {line}");
        let need = |letter| word(words, letter).unwrap_or_else(|| panic!("no {letter}: {line}"));
        let (peck, dwell) = (word(words, 'Q'), word(words, 'P').is_some());
        Self { depth: need('Z'), from: need('R'), feed: need('F'), peck, dwell }
    }

    /// NISTIR 6556, 3.5.16, written anew here.
    fn expand(&self, at: [f64; 3], [x, y, _]: [f64; 3], done: &mut Vec<Done>) -> [f64; 3] {
        if !same(at[0], x) || !same(at[1], y) {
            done.push(Done::Rapid([x, y, at[2]]));
        }
        if !same(at[2], self.from) {
            done.push(Done::Rapid([x, y, self.from]));
        }
        let mut bottom = self.from;
        loop {
            bottom = self.depth.max(bottom - self.peck.unwrap_or(1e9));
            done.push(Done::Feed([x, y, bottom], self.feed));
            if bottom <= self.depth {
                break;
            }
            done.push(Done::Rapid([x, y, self.from]));
            done.push(Done::Rapid([x, y, bottom + 0.254]));
        }
        if self.dwell {
            done.push(Done::Dwell);
        }
        done.push(Done::Rapid([x, y, self.from]));
        [x, y, self.from]
    }
}

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9
}

/// What holds from line to line.
#[derive(Default)]
struct State {
    feed: Option<f64>,
    tool: f64,
    offset: Option<f64>,
    spindle: bool,
    moved: bool,
    cycle: Option<Cycle>,
}

impl State {
    /// The words that move nothing.
    fn set(&mut self, line: &str, words: &[(char, f64, String)]) {
        if let Some(number) = word(words, 'T') {
            *self = Self { tool: number, ..Self::default() };
            assert!(has(words, "M6") || has(words, "M0"), "{line}");
        }
        if has(words, "M5") {
            self.spindle = false;
        }
        if has(words, "M3") {
            assert!(word(words, 'S').is_some_and(|speed| speed > 0.0), "no speed: {line}");
            self.spindle = true;
        }
        if has(words, "G43") {
            assert!(word(words, 'H').is_some_and(|length| same(length, self.tool)), "another tool's length: {line}");
            self.offset = Some(self.tool);
        }
        self.feed = word(words, 'F').or(self.feed);
        if has(words, "G80") {
            self.cycle = None;
        }
    }

    /// Before any axis moves.
    fn ready(&mut self, line: &str, words: &[(char, f64, String)], control: &Control) {
        if !self.moved {
            assert!(has(words, "G0") && word(words, 'X').is_none(), "Z up comes first: {line}");
            let table = control.length_offset == LengthOffset::Table;
            assert_eq!(self.offset.is_some(), table, "length offset: {line}");
        }
        let touched = control.length_offset == LengthOffset::TouchOff && !self.moved;
        assert!(self.spindle != touched, "it turns in all moves but the way up from the touch-off: {line}");
        self.moved = true;
        if ["G81", "G82", "G83"].iter().any(|code| has(words, code)) {
            self.cycle = Some(Cycle::of(line, words));
        }
    }
}

/// Runs a program, checking every line on the way.
fn run(program: &Program, control: &Control) -> Vec<Done> {
    let mut done = Vec::new();
    let mut at = [f64::NAN; 3];
    let mut state = State::default();
    for line in program.text.lines() {
        let words = words(line);
        lexical(line, &words, control);
        state.set(line, &words);
        if word(&words, 'T').is_some() {
            at = [f64::NAN; 3];
        }
        if has(&words, "G4") {
            done.push(Done::Dwell);
            continue;
        }
        if !moves(&words) {
            continue;
        }
        let to = [('X', 0), ('Y', 1), ('Z', 2)].map(|(letter, axis)| word(&words, letter).unwrap_or(at[axis]));
        state.ready(line, &words, control);
        if let Some(cycle) = &state.cycle {
            at = cycle.expand(at, to, &mut done);
            continue;
        }
        if has(&words, "G0") {
            let upright = same(to[0], at[0]) && same(to[1], at[1]);
            let high = at[2] > 0.0 && same(to[2], at[2]);
            assert!(!at.iter().all(|axis| axis.is_finite()) || upright || high, "a low rapid: {line}");
            state.feed = None;
            done.push(Done::Rapid(to));
        } else {
            let feed = state.feed.unwrap_or_else(|| panic!("no feed: {line}"));
            done.push(if has(&words, "G1") {
                Done::Feed(to, feed)
            } else {
                arc(line, &words, control, at, to, &state)
            });
        }
        at = to;
    }
    done
}

fn arc(
    line: &str,
    words: &[(char, f64, String)],
    control: &Control,
    from: [f64; 3],
    to: [f64; 3],
    state: &State,
) -> Done {
    for letter in ['X', 'Y', 'Z', 'I', 'J'] {
        assert!(word(words, letter).is_some(), "an arc says all: {line}");
    }
    let (i, j) = (word(words, 'I').unwrap_or(0.0), word(words, 'J').unwrap_or(0.0));
    let centre = match control.arc_centre {
        ArcCentre::Incremental => [from[0] + i, from[1] + j],
        ArcCentre::Absolute => [i, j],
    };
    let radius = |p: [f64; 3]| crate::quantity::trig::hypot(p[0] - centre[0], p[1] - centre[1]);
    // Exactly equal, since centre and radius lie on the grid; 0.002 mm is allowed (3.5.3.2).
    assert!((radius(from) - radius(to)).abs() < 1e-7, "radii {} {}: {line}", radius(from), radius(to));
    assert!(has(words, "G3"), "climb: {line}");
    Done::Arc { from, to, centre, feed: state.feed.unwrap_or(0.0), tool: state.tool }
}

#[test]
fn every_line_by_the_rules() {
    for name in CONTROLS {
        let (program, control) = program(name);
        assert!(run(&program, &control).len() > 100, "{name} moves");
        assert!(control.end.iter().all(|line| program.text.contains(line.as_str())), "{name} ends");
    }
}

#[test]
fn threads_come_out_as_planned() {
    let drilled = |program: &Program, control: &Control| -> Vec<Done> {
        run(program, control).into_iter().filter(|done| matches!(done, Done::Arc { .. })).collect()
    };
    for name in CONTROLS {
        let (program, control) = program(name);
        let mut widest: f64 = 0.0;
        for arc in drilled(&program, &control) {
            let Done::Arc { from, to, centre, feed, tool } = arc else { continue };
            assert!(feed > 5.0 && (tool - 33.0).abs() < 0.1, "{name}");
            let angle = |p: [f64; 3]| libm::atan2(p[1] - centre[1], p[0] - centre[0]);
            let mut sweep = angle(to) - angle(from);
            while sweep <= 1e-9 {
                sweep += std::f64::consts::TAU;
            }
            let radius = ((from[0] - centre[0]).powi(2) + (from[1] - centre[1]).powi(2)).sqrt();
            let rise = (to[2] - from[2]) * std::f64::consts::TAU / sweep;
            let on_axis = [-22.5, -7.5, 7.5, 22.5].iter().any(|x| (centre[0] - x).abs() < 1e-9);
            // The helix climbs its pitch a turn; the ways in and out half of it, at half the radius.
            let wanted = if on_axis { 0.8 } else { 0.4 };
            assert!((rise - wanted).abs() < 0.0025, "{name}: {rise} a turn");
            if on_axis {
                widest = widest.max(radius);
            }
            let most = match control.full_circle {
                FullCircle::One => 1.0,
                FullCircle::Halves => 0.5,
                FullCircle::Quarters => 0.25,
            };
            assert!(sweep <= std::f64::consts::TAU * most + 1e-6, "{name}: {sweep}");
        }
        // T33: 3.1 mm, flat 0.08; P/2 - f over tan 30° is 0.5543; middle of the limits 4.5425.
        let swept = 3.1 + 2.0 * widest;
        assert!((swept - (4.5425 + 0.5543 - 0.028)).abs() < 0.004, "{name}: {swept}");
    }
}

#[test]
fn left_hand_threads_go_down() {
    let shop = demo("canned");
    let program = emit(&planned(&left_key(), &shop).setups[0], &header(), &shop.control);
    for done in run(&program, &shop.control) {
        if let Done::Arc { from, to, .. } = done {
            assert!(to[2] < from[2], "falls: {from:?} {to:?}");
        }
    }
}

#[test]
fn cycles_and_written_out_are_the_same() {
    for part in [m5_key(), inch_key(), deep_key()] {
        let mut shop = demo("canned");
        // The reader's own peck retract is in millimetres.
        shop.control.unit = Some(Unit::Mm);
        let plan = planned(&part, &shop);
        let mut out = shop.control.clone();
        out.cycles = Cycles::WrittenOut;
        let mut canned = out.clone();
        canned.cycles = Cycles::Canned;
        let (a, b) = (emit(&plan.setups[0], &header(), &canned), emit(&plan.setups[0], &header(), &out));
        let (a, b) = (run(&a, &canned), run(&b, &out));
        assert_eq!(a.len(), b.len(), "as many moves");
        for (a, b) in a.iter().zip(&b) {
            let near = |a: &[f64; 3], b: &[f64; 3]| a.iter().zip(b).all(|(a, b)| (a - b).abs() < 0.002 || a.is_nan());
            let same = match (a, b) {
                (Done::Rapid(a), Done::Rapid(b)) => near(a, b),
                (Done::Feed(a, f), Done::Feed(b, g)) => near(a, b) && (f - g).abs() < 0.1,
                (a, b) => a == b,
            };
            assert!(same, "{a:?} and {b:?}");
        }
    }
}

#[test]
fn inches_speak_inches() {
    let shop = demo("canned");
    let header = Header { unit: Unit::Inch, ..header() };
    let program = emit(&planned(&inch_key(), &shop).setups[0], &header, &shop.control);
    assert!(program.text.contains("G20") && !program.text.contains("G21"), "{}", program.text);
    assert!(program.text.contains("X-0.75 Y0.0"), "a hole of the key: {}", program.text);
    let done = run(&program, &shop.control);
    let lowest = done.iter().map(|done| match done {
        Done::Rapid(to) | Done::Feed(to, _) | Done::Arc { to, .. } => to[2],
        Done::Dwell => 0.0,
    });
    let lowest = lowest.fold(0.0, f64::min);
    assert!((-0.7..-0.5).contains(&lowest), "half an inch and a little: {lowest}");
}

#[test]
fn sections_start_by_themselves() {
    let (program, _) = program("canned");
    let lines: Vec<&str> = program.text.lines().collect();
    for (index, line) in lines.iter().enumerate().filter(|(_, line)| line.contains(" M6")) {
        let next = lines[index + 1..index + 5].join("\n");
        for needed in ["G21 G17 G90 G94 G40 G49 G80 G54 G61", " M3", "G4 P", "G43 H"] {
            assert!(next.contains(needed), "{line}: no {needed} in {next}");
        }
        assert!(lines[index - 1].ends_with("M5"), "the spindle stands before {line}");
    }
}

#[test]
fn typed_text_stays_a_comment() {
    let evil = "key ) G0 Z-50 ( ; M30\r\n%\nN1 M3 S9000\u{2028}[#1=2] \u{0} ⌀5 (MSG, hi)";
    for name in CONTROLS {
        let shop = demo(name);
        let typed = Header {
            number: evil.to_owned(),
            title: evil.to_owned(),
            revision: evil.to_owned(),
            notes: vec![evil.to_owned(), "msg, hello".to_owned()],
            stock: evil.repeat(50),
            ..header()
        };
        let mut plan = planned(&m5_key(), &shop);
        for operation in &mut plan.setups[0].operations {
            operation.title = evil.to_owned();
        }
        for tool in &mut plan.tools {
            tool.title = evil.to_owned();
        }
        let with = emit(&plan.setups[0], &typed, &shop.control);
        let clean = emit(&planned(&m5_key(), &shop).setups[0], &header(), &shop.control);
        let bare = |program: &Program| -> Vec<String> {
            let comment = |line: &&str| line.starts_with('(') && line.ends_with(')') || line.starts_with(';');
            program.text.lines().filter(|line| !comment(line)).map(str::to_owned).collect()
        };
        assert_eq!(bare(&with), bare(&clean), "{name}: only comments differ");
        for line in with.text.lines().filter(|line| line.starts_with('(')) {
            let inner = &line[1..line.len() - 1];
            assert!(!inner.contains(['(', ')', ';', '%', '[', '#']), "{line}");
            assert!(inner.len() <= shop.control.comment_length, "{line}");
            assert!(!inner.replace(' ', "").starts_with("MSG,"), "{line}");
        }
    }
}

#[test]
fn an_unproved_program_says_so() {
    let shop = demo("canned");
    let plan = planned(&m5_key(), &shop);
    let text = emit(&plan.setups[0], &Header { proved: false, ..header() }, &shop.control).text;
    assert!(text.lines().nth(1).is_some_and(|line| line.starts_with("(UNPROVED")), "{text}");
    assert!(!emit(&plan.setups[0], &header(), &shop.control).text.contains("UNPROVED"), "a proved one does not");
}

#[test]
fn lines_know_where_they_come_from() {
    let shop = demo("absolute");
    let plan = planned(&m5_key(), &shop);
    let program = emit(&plan.setups[0], &header(), &shop.control);
    let lines: Vec<&str> = program.text.lines().collect();
    let asked = |line: &Line| {
        let operation = &plan.setups[0].operations[line.operation];
        (operation.feature.clone(), operation.origin.line)
    };
    let thread = program.lines.iter().find(|line| lines[line.number - 1].contains(" G3 ")).expect("an arc");
    assert_eq!(asked(thread), ("screws".to_owned(), 24), "{thread:?}");
    let wall = program.lines.iter().rev().find(|line| lines[line.number - 1].contains(" G1 X")).expect("a wall");
    assert_eq!(asked(wall), ("tongue".to_owned(), 20), "{wall:?}");
}

#[test]
fn numbers_begin_again_after_five_digits() {
    let shop = demo("canned");
    let mut control = shop.control.clone();
    control.line_numbers = Some(crate::shop::LineNumbers { start: 9000, step: 1000 });
    let text = emit(&planned(&m5_key(), &shop).setups[0], &header(), &control).text;
    for line in text.lines().filter(|line| line.starts_with('N')) {
        let digits = line[1..].split(' ').next().map_or(0, str::len);
        assert!(digits <= 5, "{line}");
    }
}
