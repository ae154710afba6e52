//! Widths, depths and threads: what a tool's radius or length makes.

use super::read::{Read, Said};
use super::{Adjustment, Correction, Judged, Verdict};
use crate::diag::Diagnostic;
use crate::part::{Axis, Measure, Part};
use crate::plan::{Plan, SetupPlan, Work};
use crate::quantity::{Length, Unit, trig, trimmed};
use crate::shop::{Cutter, Tool};

/// How far the orbit grows where GO does not enter, and shrinks where NOT GO does: a hundredth and
/// one and a half. Common practice, no source.
const TIGHT: Length = Length::mm(0.010);
const LOOSE: Length = Length::mm(0.015);

/// Judges one size that is no place.
///
/// What is read is told in the part's unit, what is changed in that of the control, `mill`.
pub(super) fn judge(
    (part, plan, mill): (&Part, &Plan, Unit),
    read: &Read,
    done: &mut Adjustment,
    findings: &mut Vec<Diagnostic>,
) {
    if let Said::Plug(go, not_go) = read.said {
        plug(mill, plan, read, (go, not_go), done);
        return;
    }
    let Some(measured) = read.mean() else { return };
    let size = &read.characteristic.size;
    let off = measured - size.middle();
    let mut judged = Judged {
        name: size.name.clone(),
        title: size.title.clone(),
        least: size.least(),
        most: size.most(),
        aim: size.middle(),
        read: read.lengths().to_vec(),
        measured: Some(measured),
        verdict: Verdict::Good,
        text: String::new(),
    };
    let say = |length| part.unit.say(length);
    let wide = (size.most() - size.least()) / 2.0;
    if read.spread() > wide && wide > Length::ZERO {
        findings.push(
            Diagnostic::caution(
                "adjust/spread",
                format!("{}: the readings differ by {}, more than half the tolerance.", size.name, say(read.spread())),
            )
            .help("A taper is the tool bending or the vise lifting, no offset: lighter cuts, a sharper tool, tap the part down."),
        );
    }
    if read.holds() {
        judged.text = format!("within limits, {} from the middle: leave it", say(off.abs()));
        done.judged.push(judged);
        return;
    }
    // Wherever their mean lies, one offset shifts all readings alike.
    if let Some((least, most)) = read.ends().filter(|(least, most)| *most - *least > size.most() - size.least()) {
        judged.verdict = Verdict::NotByOffset;
        judged.text = format!(
            "from {} to {}, further apart than the limits: no offset brings both within; look for a tool that bends, a vise that lifts",
            say(least),
            say(most)
        );
        done.judged.push(judged);
        return;
    }
    judged.verdict = Verdict::Corrected;
    let correction = correction((part, plan, mill), read, measured, &mut judged.text);
    if let Some(correction) = correction {
        judged.text = format!(
            "{} {} from the middle of its limits",
            say(off.abs()),
            if off > Length::ZERO { "up" } else { "down" }
        );
        done.corrections.push(correction);
    } else {
        judged.verdict = Verdict::NotByOffset;
        if judged.text.is_empty() {
            judged.text = String::from("no tool of the plan makes it: left to the bench");
        }
    }
    done.judged.push(judged);
}

/// The correction that a size out of its limits asks for; what mends it where none does is told as
/// text.
fn correction(
    (part, plan, mill): (&Part, &Plan, Unit),
    read: &Read,
    measured: Length,
    text: &mut String,
) -> Option<Correction> {
    let size = &read.characteristic.size;
    let off = measured - size.middle();
    match &read.characteristic.measure {
        Measure::TongueWidth(feature) => {
            cutter(plan, feature, is_end_mill).map(|tool| width(mill, tool, measured, size.middle()))
        }
        Measure::TongueHeight(feature) => {
            cutter(plan, feature, is_end_mill).map(|tool| deeper(mill, tool, measured, size.middle()))
        }
        Measure::PitchDiameter(feature, _) | Measure::MajorDiameter(feature, _) => {
            cutter(plan, feature, is_thread_mill).map(|tool| inside(mill, tool, measured, size.middle()))
        }
        Measure::HeadDiameter(feature, _) | Measure::SlotWidth(feature) | Measure::SlotLength(feature) => {
            cutter(plan, feature, is_end_mill).map(|tool| inside(mill, tool, measured, size.middle()))
        }
        Measure::HeadDepth(feature, _) | Measure::SlotDepth(feature) => {
            cutter(plan, feature, is_end_mill).map(|tool| deeper(mill, tool, measured, size.middle()))
        }
        Measure::HoleDepth(feature, _) => cutter(plan, feature, |tool| matches!(tool.cutter, Cutter::Drill { .. }))
            .map(|tool| deeper(mill, tool, measured, size.middle())),
        Measure::ThreadDepth(feature, _) => {
            cutter(plan, feature, is_thread_mill).map(|tool| deeper(mill, tool, measured, size.middle()))
        }
        Measure::ChamferDiameter(feature, _) => cutter(plan, feature, is_spot).map(|tool| chamfer(mill, tool, off)),
        Measure::HoleDiameter(feature, _) | Measure::MinorDiameter(feature, _) => {
            *text = drill(part.unit, plan, feature, off);
            None
        }
        Measure::Extent(Axis::X) if facing(plan).is_some() => facing(plan).map(|setup| {
            let by = tidy(-off);
            let why = format!(
                "{} long where {} is wanted: the zero follows the stop, {}",
                mill.say(measured),
                mill.say(size.middle()),
                if off > Length::ZERO { "this piece can be run again while it is held" } else { "this piece is scrap" }
            );
            Correction::Datum { setup: Some(setup), axis: Axis::X, by, why }
        }),
        Measure::Extent(axis) => {
            *text = match axis {
                Axis::X => "the ends are faced, not cut by this program: mend it at facing".to_owned(),
                Axis::Y | Axis::Z => "the bar's own size: measure the next bar before it is cut".to_owned(),
            };
            None
        }
        Measure::TongueOffset(_)
        | Measure::HolePlace(..)
        | Measure::Lead(..)
        | Measure::SlotPlace(..)
        | Measure::CornerRadius
        | Measure::EndDistance(..) => None,
    }
}

/// What several readings ask of one number at the machine is corrected once, by the mean of what each
/// asks for.
pub(super) fn by_their_mean(unit: Unit, done: &mut Adjustment) {
    let mut by_offset: Vec<(Correction, Vec<Length>)> = Vec::new();
    for correction in std::mem::take(&mut done.corrections) {
        let asked = asked(&correction);
        match by_offset.iter_mut().find(|(known, _)| same_offset(known, &correction)) {
            Some((_, others)) => others.push(asked),
            None => by_offset.push((correction, vec![asked])),
        }
    }
    for (mut correction, asked) in by_offset {
        if asked.len() > 1 {
            let sum = asked.iter().fold(Length::ZERO, |sum, one| sum + *one);
            let mean = tidy(sum / f64::from(u32::try_from(asked.len()).unwrap_or(u32::MAX)));
            let each: Vec<String> = asked.iter().map(|one| number(unit, *one)).collect();
            let reason = format!("the mean of what {} readings ask for: {}", asked.len(), each.join(", "));
            match &mut correction {
                Correction::Diameter { to, why, .. } => (*to, *why) = (mean, reason),
                Correction::LengthOffset { by, why, .. } | Correction::Datum { by, why, .. } => {
                    (*by, *why) = (mean, reason);
                }
            }
        }
        done.corrections.push(correction);
    }
}

/// The diameter or the offset that a correction wants.
fn asked(correction: &Correction) -> Length {
    match correction {
        Correction::Diameter { to, .. } => *to,
        Correction::LengthOffset { by, .. } | Correction::Datum { by, .. } => *by,
    }
}

/// Whether two corrections change the same number at the machine.
fn same_offset(one: &Correction, other: &Correction) -> bool {
    match (one, other) {
        (Correction::Diameter { tool: a, .. }, Correction::Diameter { tool: b, .. })
        | (Correction::LengthOffset { tool: a, .. }, Correction::LengthOffset { tool: b, .. }) => a == b,
        (Correction::Datum { setup: a, axis: c, .. }, Correction::Datum { setup: b, axis: d, .. }) => (a, c) == (b, d),
        _ => false,
    }
}

/// The setup whose program mills the part to its length, if one does.
fn facing(plan: &Plan) -> Option<u32> {
    let mills = |setup: &&SetupPlan| setup.operations.iter().any(|operation| operation.work == Work::EndFinish);
    plan.setups.iter().rfind(mills).map(|setup| setup.setup.number)
}

/// The last tool of a kind that works on a feature: the one that brings it to size.
fn cutter<'p>(plan: &'p Plan, feature: &str, kind: fn(&Tool) -> bool) -> Option<&'p Tool> {
    let operations = plan.setups.iter().flat_map(|setup| &setup.operations);
    operations
        .filter(|operation| operation.feature == feature)
        .filter_map(|operation| plan.tools.iter().find(|tool| tool.number == operation.tool))
        .rfind(|tool| kind(tool))
}

fn is_end_mill(tool: &Tool) -> bool {
    matches!(tool.cutter, Cutter::EndMill { .. })
}

fn is_thread_mill(tool: &Tool) -> bool {
    matches!(tool.cutter, Cutter::ThreadMill { .. })
}

fn is_spot(tool: &Tool) -> bool {
    matches!(tool.cutter, Cutter::Spot { .. })
}

fn number(unit: Unit, length: Length) -> String {
    trimmed(unit.of(length), unit.decimals() + 1)
}

/// Both walls are left by the same radius, from outside: r' = r - (W - W') / 2.
fn width(unit: Unit, tool: &Tool, measured: Length, aim: Length) -> Correction {
    radius(unit, tool, measured, aim, -1.0)
}

/// What is milled from inside and came out too wide was cut by a tool wider than it is called:
/// r' = r + (W - W') / 2.
fn inside(unit: Unit, tool: &Tool, measured: Length, aim: Length) -> Correction {
    radius(unit, tool, measured, aim, 1.0)
}

/// The radius that the tool must be called by; `way` is the sign by which it follows the size.
fn radius(unit: Unit, tool: &Tool, measured: Length, aim: Length, way: f64) -> Correction {
    let to = tidy(tool.diameter + (measured - aim) * way);
    let n = |length| number(unit, length);
    let why = format!(
        "radius {} {} ({} - {}) / 2 = {} {}",
        n(tool.diameter / 2.0),
        if way < 0.0 { "-" } else { "+" },
        n(measured),
        n(aim),
        n(to / 2.0),
        unit.sign()
    );
    Correction::Diameter { tool: tool.number, title: tool.title.clone(), from: tool.diameter, to, why }
}

/// A depth that came out as it should not.
fn deeper(unit: Unit, tool: &Tool, measured: Length, aim: Length) -> Correction {
    let why = format!("{} deep where {} is wanted", unit.say(measured), unit.say(aim));
    length(unit, tool, measured - aim, &why)
}

/// Too deep: the tool is longer than its offset says.
fn length(unit: Unit, tool: &Tool, deeper: Length, why: &str) -> Correction {
    let by = tidy(deeper);
    let word = if by > Length::ZERO { "longer" } else { "shorter" };
    let why = format!("{why}: the tool is {} {word} than its offset says", unit.say(by.abs()));
    Correction::LengthOffset { tool: tool.number, title: tool.title.clone(), by, why }
}

/// A wider chamfer is a deeper one: half the width over the tangent of half the point's angle.
fn chamfer(unit: Unit, tool: &Tool, wider: Length) -> Correction {
    let half = match tool.cutter {
        Cutter::Spot { point } => trig::tan(point / 2.0),
        _ => 1.0,
    };
    length(unit, tool, wider / 2.0 / half, &format!("the chamfer is {} off in diameter", unit.say(wider.abs())))
}

fn drill(unit: Unit, plan: &Plan, feature: &str, off: Length) -> String {
    let drill = cutter(plan, feature, |tool| matches!(tool.cutter, Cutter::Drill { .. }));
    let named = drill.map_or_else(|| "its drill".to_owned(), |tool| format!("T{} {}", tool.number, tool.title));
    let how = if off > Length::ZERO {
        "look for run-out and unequal lips, or take a smaller one"
    } else {
        "it is worn or smaller than it says: measure it, take a larger one"
    };
    format!(
        "{} {}; a hole is as wide as {named} cuts, no offset changes it: {how}",
        unit.say(off.abs()),
        if off > Length::ZERO { "too wide" } else { "too narrow" }
    )
}

/// What a plug gauge said.
fn plug(unit: Unit, plan: &Plan, read: &Read, said: (Option<bool>, Option<bool>), done: &mut Adjustment) {
    let size = &read.characteristic.size;
    let feature = read.feature.clone().unwrap_or_default();
    let mut judged = Judged {
        name: feature.clone(),
        title: size.title.clone(),
        least: size.least(),
        most: size.most(),
        aim: size.middle(),
        read: Vec::new(),
        measured: None,
        verdict: Verdict::Good,
        text: "GO enters, NOT GO does not: leave it".to_owned(),
    };
    let mill = cutter(plan, &feature, is_thread_mill);
    let grown = |tool: &Tool, by: Length, why: &str| {
        let to = tidy(tool.diameter - by * 2.0);
        let why = format!("{why}; radius {} {}", number(unit, to / 2.0), unit.sign());
        Correction::Diameter { tool: tool.number, title: tool.title.clone(), from: tool.diameter, to, why }
    };
    match (said, mill) {
        ((Some(false), Some(true)), _) => {
            judged.verdict = Verdict::NotByOffset;
            judged.text =
                String::from("GO stays out and NOT GO goes in: a burr, a chip or another gauge; clean and try again");
        }
        ((Some(false), _) | (_, Some(true)), None) => {
            judged.verdict = Verdict::NotByOffset;
            judged.text = String::from("the tap makes it: another tap, or run it through again");
        }
        ((Some(false), _), Some(tool)) => {
            judged.verdict = Verdict::Corrected;
            judged.text = String::from("GO does not enter: too tight; this piece can be run again without unclamping");
            let by = unit.say(TIGHT);
            let why = format!("the orbit grows by {by}, so the radius is called {by} less");
            done.corrections.push(grown(tool, TIGHT, &why));
        }
        ((_, Some(true)), Some(tool)) => {
            judged.verdict = Verdict::Corrected;
            judged.text = String::from("NOT GO enters: too wide; this piece is scrap, the next is cut tighter");
            let by = unit.say(LOOSE);
            let why = format!("the orbit shrinks by {by}, so the radius is called {by} more");
            done.corrections.push(grown(tool, -LOOSE, &why));
        }
        ((Some(true), None), _) => judged.text = String::from("GO enters; try NOT GO too"),
        ((None, Some(false)), _) => judged.text = String::from("NOT GO stays out; try GO too"),
        _ => {}
    }
    done.judged.push(judged);
}

/// Several tools that all cut as much too deep: the top was touched wrongly, not each tool.
pub(super) fn all_alike(unit: Unit, done: &mut Adjustment) {
    let offsets: Vec<Length> = done
        .corrections
        .iter()
        .filter_map(|correction| match correction {
            Correction::LengthOffset { by, .. } => Some(*by),
            _ => None,
        })
        .collect();
    let (Some(least), Some(most)) =
        (offsets.iter().copied().min_by(|a, b| a.order(*b)), offsets.iter().copied().max_by(|a, b| a.order(*b)))
    else {
        return;
    };
    if offsets.len() < 2 || most - least > Length::mm(0.02) {
        return;
    }
    let by = tidy((most + least) / 2.0);
    done.corrections.retain(|correction| !matches!(correction, Correction::LengthOffset { .. }));
    let why = format!("{} tools are all {} off: the top face, not the tools", offsets.len(), unit.say(by.abs()));
    done.corrections.push(Correction::Datum { setup: None, axis: Axis::Z, by, why });
}

/// Tenths of a micrometre: no instrument of a shop says more.
fn tidy(length: Length) -> Length {
    length.to_nearest(Length::mm(0.0001))
}
