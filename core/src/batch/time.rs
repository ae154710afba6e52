//! Time of an operation, a piece, a load; and what a measured time teaches.

use serde::{Deserialize, Serialize};

use crate::diag::Diagnostic;
use crate::plan::SetupPlan;
use crate::proof::Times;
use crate::quantity::{Time, fixed, trimmed};
use crate::shop::Shop;

/// One tool at work on one piece.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ToolTime {
    /// Number of the tool.
    pub tool: u32,
    /// What it does, in words.
    pub work: String,
    /// Changing to it and starting the spindle: once for all pieces of a load.
    pub change: Time,
    /// At work on one piece.
    pub cut: Time,
}

/// The time of one setup at the mill.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SetupTime {
    /// Number of the setup, from one.
    pub setup: u32,
    /// Tool after tool.
    pub tools: Vec<ToolTime>,
    /// What of the changes is needed once and not in every load: the only tool of a setup stays in
    /// the spindle.
    #[serde(default)]
    pub stays: Time,
}

impl SetupTime {
    /// The times of a setup, from what the proof predicts of its program for one piece, multiplied
    /// with what the shop has learnt.
    pub fn of(times: &Times, setup: &SetupPlan, shop: &Shop) -> Self {
        let factor = shop.batch.time_factor;
        let start = shop.control.dwell.unwrap_or(shop.machine.spindle_start);
        let tools: Vec<ToolTime> = times
            .sections
            .iter()
            .map(|(tool, whole)| {
                let change = (shop.machine.tool_change + start).min(*whole);
                let titles: Vec<&str> = setup
                    .operations
                    .iter()
                    .filter(|operation| operation.tool == *tool)
                    .map(|operation| operation.title.as_str())
                    .collect();
                let work = if titles.is_empty() { format!("tool {tool}") } else { titles.join("; ") };
                ToolTime { tool: *tool, work, change: change * factor, cut: (*whole - change) * factor }
            })
            .collect();
        let stays = match tools.as_slice() {
            [only] => (shop.machine.tool_change * factor).min(only.change),
            _ => Time::ZERO,
        };
        Self { setup: setup.setup.number, tools, stays }
    }

    /// What all pieces of a load share: changes and starts.
    pub fn shared(&self) -> Time {
        self.tools.iter().map(|tool| tool.change).sum::<Time>() - self.stays
    }

    /// What each piece takes by itself.
    pub fn cut(&self) -> Time {
        self.tools.iter().map(|tool| tool.cut).sum()
    }
}

/// What a measured time teaches.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Learnt {
    /// Predicted without any factor.
    pub predicted: Time,
    /// Measured.
    pub measured: Time,
    /// The factor so far.
    pub before: f64,
    /// The factor from here on: measured over predicted, to two decimals.
    pub factor: f64,
    /// The arithmetic in words.
    pub text: String,
}

/// Learns one factor from a program that was timed: `predicted` is the proof's time without a
/// factor, `before` what the shop file says now.
///
/// # Errors
/// A measured time so far off that something else was timed.
pub fn learn(predicted: Time, measured: Time, before: f64) -> Result<Learnt, Diagnostic> {
    if predicted <= Time::ZERO || measured <= Time::ZERO {
        return Err(Diagnostic::refused("batch/time", "A time to learn from is above nothing."));
    }
    let factor = ((measured / predicted) * 100.0).round() / 100.0;
    if !(0.2..=5.0).contains(&factor) {
        return Err(Diagnostic::refused(
            "batch/time",
            format!("{} were measured where {} are predicted.", say_time(measured), say_time(predicted)),
        )
        .help("Time one run of the program for one piece, changes of tools included, loading not."));
    }
    let text = format!(
        "{} measured / {} predicted = {}; the shop file said {}.",
        say_time(measured),
        say_time(predicted),
        fixed(factor, 2),
        trimmed(before, 3)
    );
    Ok(Learnt { predicted, measured, before, factor, text })
}

/// A time as people say it: `45 s`, `16 min 31 s`, `5 h 32 min`.
pub fn say_time(time: Time) -> String {
    let seconds = time.as_second().max(0.0).round();
    if seconds < 60.0 {
        return format!("{} s", fixed(seconds, 0));
    }
    if seconds < 3600.0 {
        let (minutes, rest) = ((seconds / 60.0).floor(), seconds % 60.0);
        let rest = if rest > 0.0 { format!(" {} s", fixed(rest, 0)) } else { String::new() };
        return format!("{} min{rest}", fixed(minutes, 0));
    }
    let minutes = (seconds / 60.0).round();
    let (hours, rest) = ((minutes / 60.0).floor(), minutes % 60.0);
    let rest = if rest > 0.0 { format!(" {} min", fixed(rest, 0)) } else { String::new() };
    format!("{} h{rest}", fixed(hours, 0))
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    /// The worked example of the brass key: three tools, 72 s a change, 299 s of cutting.
    pub(crate) fn key_example() -> SetupTime {
        let tool =
            |tool, cut| ToolTime { tool, work: String::new(), change: Time::second(72.0), cut: Time::second(cut) };
        SetupTime { setup: 1, tools: vec![tool(12, 12.0), tool(31, 243.0), tool(3, 44.0)], stays: Time::ZERO }
    }

    #[test]
    fn times_are_said_as_people_do() {
        for (seconds, said) in [
            (0.4, "0 s"),
            (59.6, "1 min"),
            (991.0, "16 min 31 s"),
            (3599.7, "1 h"),
            (19_894.0, "5 h 32 min"),
            (7200.0, "2 h"),
        ] {
            assert_eq!(say_time(Time::second(seconds)), said, "{seconds}");
        }
    }

    /// 17.5 min where 16 min are predicted: 1050 / 960 = 1.09375.
    #[test]
    fn a_factor_is_learnt() {
        let learnt = learn(Time::second(960.0), Time::second(1050.0), 1.0).expect("a factor");
        assert!((learnt.factor - 1.09).abs() < 1e-9, "measured over predicted: {}", learnt.factor);
        assert_eq!(learnt.text, "17 min 30 s measured / 16 min predicted = 1.09; the shop file said 1.", "worked");
        // The next batch is predicted with it, and learnt from against the bare prediction again.
        let again = learn(Time::second(960.0), Time::second(960.0 * 1.09), learnt.factor).expect("a factor");
        assert!((again.factor - learnt.factor).abs() < 1e-9, "a prediction that holds changes nothing");
        assert!(learn(Time::second(960.0), Time::second(9.0), 1.0).is_err(), "something else was timed");
        assert!(learn(Time::second(960.0), Time::ZERO, 1.0).is_err(), "nothing");
    }

    #[test]
    fn the_parts_add_up() {
        let setup = key_example();
        assert_eq!(setup.shared(), Time::second(216.0), "three changes");
        assert_eq!(setup.cut(), Time::second(299.0), "12 + 243 + 44");
        let one = SetupTime { tools: setup.tools[..1].to_vec(), stays: Time::second(70.0), ..setup };
        assert_eq!(one.shared(), Time::second(2.0), "the tool stays in the spindle, and starts again");
    }
}
