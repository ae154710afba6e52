//! An outsider's reading of a program, by the published rules of RS-274 (NISTIR 6556, "The NIST
//! RS274/NGC Interpreter - Version 3", 2000; section numbers below are its own) and by what is
//! good practice at a bench mill. It shares no code with the room that writes programs.

use barwright_core::shop::{ArcCentre, Comments, Control, Cycles, FullCircle, LengthOffset, ToolChange};

/// One word of a line: a letter and its number.
#[derive(Clone, Debug, PartialEq)]
pub struct Word {
    /// The letter.
    pub letter: char,
    /// The number as it stands.
    pub text: String,
    /// The number.
    pub value: f64,
}

/// A line, split into its parts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Block {
    /// The words, line number first where there is one.
    pub words: Vec<Word>,
    /// The comment, without its signs.
    pub comment: Option<String>,
    /// Whether it is a percent sign and nothing else.
    pub percent: bool,
}

/// Splits a line.
///
/// # Errors
/// What in it is no word, no comment and no percent sign.
pub fn split(line: &str) -> Result<Block, String> {
    if line.trim() == "%" {
        return Ok(Block { percent: true, ..Block::default() });
    }
    let (code, comment) = if let Some((code, rest)) = line.split_once('(') {
        let Some(inside) = rest.strip_suffix(')') else {
            return Err("a comment that is not closed at the end of the line (3.3.4)".to_owned());
        };
        if inside.contains(['(', ')']) {
            return Err("a bracket inside a comment (3.3.4)".to_owned());
        }
        (code, Some(inside.to_owned()))
    } else if let Some((code, inside)) = line.split_once(';') {
        (code, Some(inside.to_owned()))
    } else {
        (line, None)
    };
    let words = code.split_whitespace().map(word).collect::<Result<_, _>>()?;
    Ok(Block { words, comment, percent: false })
}

fn word(text: &str) -> Result<Word, String> {
    let mut signs = text.chars();
    let letter = signs.next().filter(char::is_ascii_alphabetic).ok_or(format!("`{text}` starts with no letter"))?;
    let number = signs.as_str();
    let bare = number.strip_prefix('-').unwrap_or(number);
    let plain = bare.chars().all(|c| c.is_ascii_digit() || c == '.') && bare.matches('.').count() <= 1;
    match number.parse() {
        Ok(value) if plain && !bare.is_empty() => Ok(Word { letter, text: number.to_owned(), value }),
        _ => Err(format!("`{text}` is no word")),
    }
}

/// The modal group of a G or M word (table 4); `None` for a word that the report does not know.
fn group(letter: char, text: &str) -> Option<&'static str> {
    Some(match (letter, text) {
        ('G', "0" | "1" | "2" | "3" | "38.2" | "80" | "81" | "82" | "83" | "84" | "85" | "86" | "87" | "88" | "89") => {
            "motion"
        }
        ('G', "17" | "18" | "19") => "plane",
        ('G', "90" | "91") => "distance",
        ('G', "93" | "94") => "feed mode",
        ('G', "20" | "21") => "units",
        ('G', "40" | "41" | "42") => "cutter radius",
        ('G', "43" | "49") => "length offset",
        ('G', "98" | "99") => "return",
        ('G', "54" | "55" | "56" | "57" | "58" | "59" | "59.1" | "59.2" | "59.3") => "work offset",
        ('G', "61" | "61.1" | "64") => "path",
        ('G', "4" | "10" | "28" | "30" | "53" | "92" | "92.1" | "92.2" | "92.3") => "not modal",
        ('M', "0" | "1" | "2" | "30" | "60") => "stop",
        ('M', "6") => "tool change",
        ('M', "3" | "4" | "5") => "spindle",
        ('M', "7" | "8" | "9") => "coolant",
        ('M', "48" | "49") => "overrides",
        _ => return None,
    })
}

/// What a control knows while it runs a program.
#[allow(clippy::struct_excessive_bools, reason = "each is one thing that a control has been told or not")]
struct Reader<'c> {
    control: &'c Control,
    wrong: Vec<String>,
    line: usize,
    /// Groups that were set, in the words that set them.
    modes: std::collections::BTreeMap<&'static str, String>,
    here: [Option<f64>; 3],
    tool: Option<f64>,
    changed: bool,
    spindle: bool,
    coolant: bool,
    speed: bool,
    feed: bool,
    offset: bool,
    moved: bool,
    cycle: [Option<f64>; 2],
    ended: bool,
}

/// Everything in a program that breaks a rule, each with its line.
pub fn breaches(program: &str, control: &Control) -> Vec<String> {
    let mut reader = Reader {
        control,
        wrong: Vec::new(),
        line: 0,
        modes: std::collections::BTreeMap::new(),
        here: [None; 3],
        tool: None,
        changed: false,
        spindle: false,
        coolant: false,
        speed: false,
        feed: false,
        offset: false,
        moved: false,
        cycle: [None; 2],
        ended: false,
    };
    reader.frame(program);
    for (at, line) in program.lines().enumerate() {
        reader.line = at + 1;
        reader.text(line);
        match split(line) {
            Ok(block) => reader.block(&block),
            Err(what) => reader.breach(what),
        }
    }
    if !reader.ended {
        reader.breach("the program does not end with M2 or M30 (3.6.1)");
    }
    reader.wrong
}

impl Reader<'_> {
    fn breach(&mut self, what: impl AsRef<str>) {
        self.wrong.push(format!("line {}: {}", self.line, what.as_ref()));
    }

    fn mode(&self, group: &str) -> &str {
        self.modes.get(group).map_or("", String::as_str)
    }

    /// First and last lines (section 3.3 of the report: percent signs come in pairs).
    fn frame(&mut self, program: &str) {
        let lines: Vec<&str> = program.lines().collect();
        let signs: Vec<usize> = (0..lines.len()).filter(|&at| lines.get(at) == Some(&"%")).collect();
        if !signs.is_empty() && signs != [0, lines.len() - 1] {
            self.breach(format!("percent signs stand on the lines {signs:?}, not first and last"));
        }
        if !program.ends_with('\n') || program.contains('\r') {
            self.breach("lines end with one line feed each");
        }
    }

    fn text(&mut self, line: &str) {
        // 3.3: 256 characters are the most that any control reads.
        if line.len() > self.control.line_length.min(256) {
            self.breach(format!("{} characters, {} are the most", line.len(), self.control.line_length));
        }
        if line.is_empty() || line.trim() != line {
            self.breach("an empty line, or blanks at its ends");
        }
        if !line.bytes().all(|byte| byte == b' ' || byte.is_ascii_graphic()) {
            self.breach("a sign outside plain ASCII");
        }
        if line.bytes().any(|byte| byte.is_ascii_lowercase()) {
            self.breach("a small letter");
        }
        if line.starts_with('/') {
            self.breach("a line that a switch skips");
        }
    }

    fn comment(&mut self, comment: &str, line_has_words: bool) {
        let room = self.control.comment_length;
        if comment.trim().len() > room {
            self.breach(format!("a comment of {} characters, {room} are the most", comment.trim().len()));
        }
        if self.control.comments == Comments::None {
            self.breach("a comment for a control that has none");
        }
        if self.control.comments == Comments::Semicolon && comment.contains(['(', ')']) {
            self.breach("brackets behind a semicolon");
        }
        if line_has_words {
            self.breach("words and a comment on one line");
        }
    }

    fn block(&mut self, block: &Block) {
        if let Some(comment) = &block.comment {
            self.comment(comment, !block.words.is_empty());
        }
        if block.percent || block.words.is_empty() {
            return;
        }
        if self.ended {
            self.breach("words behind the end of the program");
        }
        let mut words = block.words.as_slice();
        match (words.first(), self.control.line_numbers) {
            (Some(first), Some(_)) if first.letter == 'N' => {
                // 3.3.2: a whole number, at most five digits.
                if first.text.len() > 5 || first.text.contains(['.', '-']) {
                    self.breach(format!("line number {}", first.text));
                }
                words = words.get(1..).unwrap_or(&[]);
            }
            (_, Some(_)) => self.breach("no line number"),
            (_, None) => {}
        }
        self.letters(words);
        self.numbers(words);
        self.run(words);
    }

    /// 3.3: each letter once, G and M once for each group.
    fn letters(&mut self, words: &[Word]) {
        let mut seen: Vec<String> = Vec::new();
        for word in words {
            let key = match word.letter {
                'G' | 'M' => {
                    let Some(group) = group(word.letter, &word.text) else {
                        self.breach(format!("unknown word {}{}", word.letter, word.text));
                        continue;
                    };
                    format!("the group {group}")
                }
                'F' | 'H' | 'I' | 'J' | 'P' | 'Q' | 'R' | 'S' | 'T' | 'X' | 'Y' | 'Z' => word.letter.to_string(),
                other => {
                    self.breach(format!("the letter {other} has no use on a mill of three axes"));
                    continue;
                }
            };
            if seen.contains(&key) {
                self.breach(format!("{key} stands twice"));
            }
            seen.push(key);
        }
    }

    fn numbers(&mut self, words: &[Word]) {
        let most = if self.mode("units") == "20" { self.control.decimals_inch } else { self.control.decimals_mm };
        for word in words {
            let name = format!("{}{}", word.letter, word.text);
            match (word.letter, word.text.trim_start_matches('-').split_once('.')) {
                ('X' | 'Y' | 'Z' | 'I' | 'J' | 'R' | 'Q' | 'F' | 'P', Some((whole, part))) => {
                    if whole.is_empty() || part.is_empty() {
                        self.breach(format!("{name}: no figure on one side of the point"));
                    }
                    if !matches!(word.letter, 'F' | 'P') && part.len() > most {
                        self.breach(format!("{name}: more than {most} decimals"));
                    }
                    if word.value == 0.0 && word.text.starts_with('-') {
                        self.breach(format!("{name}: minus nothing"));
                    }
                }
                ('X' | 'Y' | 'Z' | 'I' | 'J' | 'R' | 'Q' | 'F' | 'P', None) => {
                    self.breach(format!("{name}: a bare whole number, which some controls read as micrometres"));
                }
                ('S' | 'T' | 'H' | 'M', Some(_)) => self.breach(format!("{name}: no whole number")),
                _ => {}
            }
        }
    }

    /// The order of execution of table 8.
    fn run(&mut self, words: &[Word]) {
        let value = |letter: char| words.iter().find(|word| word.letter == letter).map(|word| word.value);
        let has = |letter: char, text: &str| words.iter().any(|word| word.letter == letter && word.text == text);
        if let Some(feed) = value('F') {
            self.feed = feed > 0.0;
        }
        if let Some(speed) = value('S') {
            self.speed = speed > 0.0;
        }
        if let Some(tool) = value('T') {
            self.change(tool, has('M', "6"), has('M', "0"));
        }
        if has('M', "3") {
            self.spindle = self.speed;
        }
        if has('M', "4") {
            self.breach("M4 turns a right-hand cutter backward");
        }
        if has('M', "5") {
            self.spindle = false;
        }
        self.coolant = (self.coolant || has('M', "7") || has('M', "8")) && !has('M', "9");
        if has('G', "4") && value('P').is_none_or(|seconds| seconds < 0.0) {
            self.breach("G4 without P (3.5.4)");
        }
        for word in words.iter().filter(|word| word.letter == 'G') {
            if let Some(group) = group('G', &word.text).filter(|group| *group != "not modal") {
                self.modes.insert(group, word.text.clone());
            }
        }
        if has('G', "43") {
            match value('H') {
                Some(number) if Some(number) == self.tool => self.offset = true,
                other => self.breach(format!("G43 with H {other:?}, while the tool is {:?}", self.tool)),
            }
            if self.control.length_offset == LengthOffset::TouchOff {
                self.breach("G43 on a control without a length table");
            }
        }
        if has('G', "49") {
            self.offset = false;
        }
        let axes = [value('X'), value('Y'), value('Z')];
        let motion = words.iter().any(|word| word.letter == 'G' && group('G', &word.text) == Some("motion"));
        if axes.iter().any(Option::is_some) {
            self.travel(words, axes);
        } else if motion && !has('G', "80") {
            self.breach("a motion word without an axis (3.5.1)");
        }
        if has('M', "2") || has('M', "30") {
            self.end();
        }
    }

    fn change(&mut self, tool: f64, change: bool, stop: bool) {
        let right = match self.control.tool_change {
            ToolChange::Change => change,
            ToolChange::Stop => stop,
        };
        if !right {
            self.breach("a tool is named and not changed the way this control does it");
        }
        if self.spindle {
            self.breach("a tool is changed while the spindle runs");
        }
        if self.changed && self.here[2].is_none_or(|z| z <= 0.0) {
            self.breach("a tool is changed below the top of the part");
        }
        self.tool = Some(tool);
        self.changed = true;
        // Each tool's section stands by itself: everything must be said again.
        (self.spindle, self.speed, self.feed, self.offset, self.moved) = (false, false, false, false, false);
        self.here = [None; 3];
        self.cycle = [None; 2];
    }

    fn end(&mut self) {
        self.ended = true;
        if self.spindle || self.coolant {
            self.breach("the program ends while spindle or coolant run");
        }
        if self.here[2].is_none_or(|z| z <= 0.0) {
            self.breach("the program ends below the top of the part");
        }
    }

    fn travel(&mut self, words: &[Word], axes: [Option<f64>; 3]) {
        for (group, allowed) in [
            ("units", &["20", "21"] as &[&str]),
            ("plane", &["17"]),
            ("distance", &["90"]),
            ("feed mode", &["94"]),
            ("cutter radius", &["40"]),
            ("length offset", &["43", "49"]),
        ] {
            if !allowed.contains(&self.mode(group)) {
                self.breach(format!("motion while the {group} is `{}`", self.mode(group)));
            }
        }
        if self.mode("work offset") != self.control.work_offset.trim_start_matches('G') {
            self.breach("motion without the work offset of the profile");
        }
        if !self.changed {
            self.breach("motion before any tool is named");
        }
        if self.control.length_offset == LengthOffset::Table && !self.offset {
            self.breach("motion without the length of this tool (G43)");
        }
        let motion = self.mode("motion").to_owned();
        if motion != "0" && !(self.spindle && self.feed) {
            self.breach(format!("G{motion} with spindle {} and feed {}", self.spindle, self.feed));
        }
        match motion.as_str() {
            "0" => self.rapid(axes),
            "1" => {}
            "2" | "3" => self.arc(words, axes, motion == "2"),
            "81" | "82" | "83" => {
                self.drill(words, axes, &motion);
                return;
            }
            other => self.breach(format!("axis words under `G{other}`")),
        }
        for (here, there) in self.here.iter_mut().zip(axes) {
            *here = there.or(*here);
        }
        self.moved = true;
    }

    fn rapid(&mut self, axes: [Option<f64>; 3]) {
        let across = axes[0].is_some() || axes[1].is_some();
        if across && axes[2].is_some() {
            self.breach("a rapid that crosses and lifts or sinks at once");
        }
        if !self.moved && across {
            self.breach("the first move of a tool is not straight up");
        }
        if across && self.here[2].is_none_or(|z| z <= 0.0) {
            self.breach(format!("a rapid across at Z {:?}, below the top of the part", self.here[2]));
        }
    }

    /// 3.5.3.2 for arcs in the plane G17.
    fn arc(&mut self, words: &[Word], axes: [Option<f64>; 3], clockwise: bool) {
        let value = |letter: char| words.iter().find(|word| word.letter == letter).map(|word| word.value);
        let (i, j) = (value('I'), value('J'));
        if axes[0].is_none() && axes[1].is_none() {
            self.breach("an arc without X and Y, which is none even for a full turn");
        }
        if (i.is_none() && j.is_none()) || value('R').is_some() {
            self.breach("an arc without its centre");
        }
        let [Some(x), Some(y), _] = self.here else {
            self.breach("an arc from a place that is not known");
            return;
        };
        let (i, j) = (i.unwrap_or(0.0), j.unwrap_or(0.0));
        let centre = match self.control.arc_centre {
            ArcCentre::Incremental => [x + i, y + j],
            ArcCentre::Absolute => [i, j],
        };
        let end = [axes[0].unwrap_or(x), axes[1].unwrap_or(y)];
        let from = [x - centre[0], y - centre[1]];
        let to = [end[0] - centre[0], end[1] - centre[1]];
        let (start_radius, end_radius) = (from[0].hypot(from[1]), to[0].hypot(to[1]));
        let most = if self.mode("units") == "20" { 0.000_2 } else { 0.002 };
        if (start_radius - end_radius).abs() > most || start_radius <= 0.0 {
            self.breach(format!("the radii of an arc are {start_radius} and {end_radius}"));
        }
        let turn = to[1].atan2(to[0]) - from[1].atan2(from[0]);
        let turn = if clockwise { -turn } else { turn };
        let turn = if turn <= 1e-9 { turn + std::f64::consts::TAU } else { turn };
        let most = match self.control.full_circle {
            FullCircle::One => 360.0,
            FullCircle::Halves => 180.0,
            FullCircle::Quarters => 90.0,
        };
        // Two coordinates that are rounded to the last place turn a small arc by so much.
        let dust = (most_rounding(self) / start_radius.max(1e-9)).to_degrees();
        if turn.to_degrees() > most + dust {
            self.breach(format!("an arc of {:.3} degrees, {most} are the most of this control", turn.to_degrees()));
        }
    }

    /// 3.5.16: the cycles G81, G82 and G83.
    fn drill(&mut self, words: &[Word], axes: [Option<f64>; 3], cycle: &str) {
        let value = |letter: char| words.iter().find(|word| word.letter == letter).map(|word| word.value);
        if self.control.cycles == Cycles::WrittenOut {
            self.breach("a cycle on a control that has none");
        }
        let first = words.iter().any(|word| word.letter == 'G' && word.text == cycle);
        if first {
            self.cycle = [value('R'), axes[2]];
            if value('R').is_none() || axes[2].is_none() || axes[0].is_none() || axes[1].is_none() {
                self.breach("a cycle without one of X, Y, Z, R");
            }
            if cycle == "82" && value('P').is_none() || cycle == "83" && value('Q').is_none_or(|q| q <= 0.0) {
                self.breach(format!("G{cycle} without its P or Q"));
            }
            if !self.modes.contains_key("return") {
                self.breach("a cycle without G98 or G99");
            }
        }
        match self.cycle {
            [Some(plane), Some(bottom)] if bottom < plane && plane > 0.0 => {
                if self.here[2].is_none_or(|z| z <= 0.0) {
                    self.breach("a cycle from below the top of the part");
                }
                self.here = [axes[0].or(self.here[0]), axes[1].or(self.here[1]), Some(plane)];
            }
            other => self.breach(format!("a cycle with R and Z {other:?}")),
        }
        self.moved = true;
    }
}

/// Half a unit of the last place of both coordinates of both ends and the centre.
fn most_rounding(reader: &Reader<'_>) -> f64 {
    let inch = reader.mode("units") == "20";
    let places = if inch { reader.control.decimals_inch } else { reader.control.decimals_mm };
    2.0 * 10_f64.powi(-i32::try_from(places).unwrap_or(3))
}
