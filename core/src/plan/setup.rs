//! How the part stands in the vise, and whether everything stays clear of it.

use super::bench::{Bench, CLEAR, FREE};
use super::model::{Operation, Work};
use super::travel;
use crate::diag::Diagnostic;
use crate::part::{Face, Part, Pose};
use crate::quantity::Length;
use crate::shop::{Setup, Vise};

/// The jaws stay so far below whatever is cut beside the part. Common practice, no source.
const BELOW: Length = Length::mm(1.0);

/// The stop is a strip of this thickness, no higher than the jaws. Common practice, no source.
const STOP: Length = Length::mm(6.0);

/// Of the height of a part, one part in so many must be between the jaws. Common practice, no
/// source.
const THIRD: f64 = 3.0;

/// Beside a tongue that hangs between the parallels so much stays free. Common practice, no
/// source.
const ASIDE: Length = Length::mm(0.5);

/// Chooses the parallels; refuses where nothing holds the part or something would be cut.
pub(super) fn hold(bench: &mut Bench<'_>, number: u32, operations: &[Operation]) -> Option<Setup> {
    let vise = bench.shop.vise.clone();
    let part = bench.part;
    let height = part.blank.height;
    let width = part.blank.width.max(part.width.most());
    let mut good = true;
    if width > vise.opening {
        let headline = format!("The bar is {} wide; the vise opens {}.", bench.say(width), bench.say(vise.opening));
        bench.findings.push(Diagnostic::refused("plan/vise", headline).help(format!(
            "A bar of {} or less, or a vise that opens {}, would do.",
            bench.say(vise.opening),
            bench.say(width)
        )));
        good = false;
    }
    let hang = hanging(bench, &vise)?;
    let floor = beside(operations).min(Length::ZERO);
    let (parallel, under) = parallels(bench, &vise, operations, (hang, floor))?;
    beside_parallels(bench, width, parallel, vise.parallel_thickness, under > Length::ZERO);
    travel::check(bench, operations);
    if part.blank.length > vise.jaw_width * 2.0 {
        let headline =
            format!("The part is {} long and the jaws {}.", bench.say(part.blank.length), bench.say(vise.jaw_width));
        bench.findings.push(Diagnostic::caution("plan/overhang", headline).help("Support the ends, or they ring."));
    }
    let rest = hang - height;
    let top = rest - parallel + vise.jaw_height;
    let grip = bench.at_mill(top - rest);
    let down = bench.at_mill(-top);
    if parallel > Length::ZERO {
        bench.note(format!(
            "Parallels of {}: the jaws grip {grip} and end {down} below the top; {} stay free under the part.",
            bench.at_mill(parallel),
            bench.at_mill(parallel - hang)
        ));
    } else {
        bench.note(format!(
            "No parallels: it stands on the bed of the vise. The jaws grip {grip} and end {down} below the top."
        ));
    }
    if hang > Length::ZERO {
        bench.note("The tongue hangs between the parallels; they carry the shoulders.");
    }
    let half = vise.jaw_width / 2.0;
    let (from, to) = part.blank_along();
    let jaw_middle = bench.overhang.map_or(Length::ZERO, |out| part.length.nominal / 2.0 - out - half);
    if let Some(out) = bench.overhang {
        bench.note(format!(
            "The end at the right stands {} beyond the jaws, and the parallels no further than the jaws.",
            bench.at_mill(to - (jaw_middle + half))
        ));
        if jaw_middle + half - from < half {
            bench.note(format!(
                "The jaws hold {} at their right end only: put a piece of the same width in at the left, or they tilt.",
                bench.at_mill(part.length.nominal / 2.0 - out - from)
            ));
        }
    }
    let stop_at = ((from + part.length.nominal / 2.0).abs() > Length::mm(1e-9)).then_some(from);
    good.then(|| Setup {
        number,
        jaw_top: top,
        jaw_reach: half,
        jaw_middle,
        stop_at: stop_at.filter(|_| bench.overhang.is_some()),
        jaw_thickness: vise.jaw_thickness,
        parallel_top: rest,
        parallel_height: parallel,
        parallel_thickness: vise.parallel_thickness,
        stop_top: top,
        stop_thickness: STOP,
        clear: CLEAR,
        work_offset: bench.shop.control.work_offset.clone(),
        datum_at: None,
    })
}

/// Where the zero lies and what the stop touches, in words.
pub(super) fn datum(bench: &Bench<'_>) -> String {
    let part = bench.part;
    let half = bench.at_mill(part.length.nominal / 2.0);
    match bench.pose {
        Pose::FirstEnd => {
            let (from, _) = part.blank_along();
            format!(
                "X {half} inside the end that is milled, {} from the sawn end at the stop; Y middle of the width; \
                 Z top face",
                bench.at_mill(-from)
            )
        }
        Pose::SecondEnd => {
            format!("X {half} from the milled end at the stop; Y middle of the width; Z top face")
        }
        Pose::Top => {
            format!("X middle of the length, {half} from the left end at the stop; Y middle of the width; Z top face")
        }
        Pose::Bottom => format!(
            "X middle of the length, {half} from the left end at the stop; Y middle of the width, the back side to the \
             front; Z bottom face"
        ),
        Pose::OnLeft => format!(
            "X middle of the width, {half} from the front side at the stop; Y middle of the height, the top face to the \
             back; Z right end"
        ),
        Pose::OnRight => format!(
            "X middle of the width, {half} from the back side at the stop; Y middle of the height, the top face to the \
             back; Z left end"
        ),
    }
}

/// How far something that was cut before hangs below where the part rests; nothing where nothing
/// holds it so.
fn hanging(bench: &mut Bench<'_>, vise: &Vise) -> Option<Length> {
    if bench.pose != Pose::Bottom {
        return Some(Length::ZERO);
    }
    let tongue = |part: &Part| {
        let found = part.tongues().find(|(feature, _)| feature.face == Face::Top);
        found.map(|(feature, tongue)| (feature.title.clone(), tongue.clone()))
    };
    let Some((title, tongue)) = tongue(bench.whole) else { return Some(Length::ZERO) };
    let shoulder = (bench.part.width.least() - tongue.width.most()) / 2.0 - tongue.centring;
    let need = vise.parallel_thickness + ASIDE;
    if shoulder < need {
        let headline = format!(
            "Turned over, the part would stand on `{title}`: its shoulders are {} wide, parallels need {}.",
            bench.say(shoulder),
            bench.say(need)
        );
        let help = format!(
            "A narrower tongue, parallels of {} or less, or cutting this from the top would do.",
            bench.say((shoulder - ASIDE).max(Length::ZERO))
        );
        bench.findings.push(Diagnostic::refused("plan/rest", headline).help(help));
        return None;
    }
    Some(tongue.height.middle())
}

/// The lowest pair of parallels that keeps the jaws off the cutter, which grips the most; and what
/// comes out under the part.
fn parallels(
    bench: &mut Bench<'_>,
    vise: &Vise,
    operations: &[Operation],
    (hang, floor): (Length, Length),
) -> Option<(Length, Length)> {
    let height = bench.part.blank.height;
    let above = height - hang;
    let deepest = operations.iter().map(Operation::lowest).fold(Length::ZERO, Length::min);
    let under = (-deepest - height).max(Length::ZERO);
    let grip = vise.grip_min.max((above + floor) / THIRD);
    let below = hang + under;
    let free = if below > Length::ZERO { below + FREE } else { Length::ZERO };
    let standing = matches!(bench.pose, Pose::OnLeft | Pose::OnRight);
    let jaw_top = |parallel: Length| -above - parallel + vise.jaw_height;
    let bed = standing.then_some(Length::ZERO);
    let chosen = bed.into_iter().chain(vise.parallels.iter().copied()).find(|parallel| {
        let top = jaw_top(*parallel);
        top <= floor - BELOW && top + above >= grip && *parallel >= free
    });
    if let Some(parallel) = chosen {
        return Some((parallel, under));
    }
    let least = (vise.jaw_height - above - floor + BELOW).max(free);
    let most = vise.jaw_height - grip;
    let headline = if standing {
        format!("The vise does not hold a part that stands {} high.", bench.say(height))
    } else {
        format!("No parallels of the vise hold a part {} high.", bench.say(height))
    };
    let listed: Vec<String> = vise.parallels.iter().map(|height| bench.say(*height)).collect();
    let finding = Diagnostic::refused("plan/vise", headline);
    if standing {
        let most = (vise.jaw_height * THIRD).max(vise.jaw_height + BELOW);
        let word = if grip > vise.jaw_height {
            format!("Standing, a part of {} at most is held.", bench.say(most))
        } else {
            format!("Standing, a part of more than {} is held.", bench.say(vise.jaw_height + BELOW - floor))
        };
        let finding = finding.note(format!(
            "The jaws are {} high; {} of the part must be gripped, and they must end {} below its top.",
            bench.say(vise.jaw_height),
            bench.say(grip),
            bench.say(BELOW - floor)
        ));
        bench.findings.push(finding.help(word));
        return None;
    }
    let finding = finding
        .note(format!(
            "The jaws are {} high and must end {} below the top.",
            bench.say(vise.jaw_height),
            bench.say(BELOW - floor)
        ))
        .note(format!("{} must stay free under the part; {} must be gripped.", bench.say(free), bench.say(grip)))
        .note(format!("There are {}.", listed.join(", ")));
    let help = if least <= most {
        format!("Parallels of {} to {} would do.", bench.say(least), bench.say(most))
    } else {
        "Shallower rabbets, a higher bar or other jaws would do.".to_owned()
    };
    bench.findings.push(finding.help(help));
    None
}

/// The lowest that a cutter goes beside the part, over jaws or stop.
fn beside(operations: &[Operation]) -> Length {
    let over = |work| matches!(work, Work::RabbetRough | Work::RabbetFinish | Work::GrooveRough | Work::GrooveFinish);
    operations.iter().filter(|operation| over(operation.work)).map(Operation::lowest).fold(Length::ZERO, Length::min)
}

/// What goes through must come out between the parallels.
fn beside_parallels(bench: &mut Bench<'_>, width: Length, parallel: Length, thick: Length, through: bool) {
    if !through {
        return;
    }
    let gap = width / 2.0 - thick;
    let mut worst: Option<(Length, String)> = None;
    let mut take = |out: Length, title: &str| {
        if out > gap && worst.as_ref().is_none_or(|(known, _)| out > *known) {
            worst = Some((out, title.to_owned()));
        }
    };
    for (feature, holes) in bench.part.holes().filter(|(_, holes)| holes.depth.blind().is_none()) {
        for place in &holes.places {
            take(place.y.abs() + holes.radius() + FREE, &feature.title);
        }
    }
    for (feature, slot) in bench.part.slots().filter(|(_, slot)| slot.depth.blind().is_none()) {
        take(slot.place.y.abs() + slot.width.most() / 2.0 + FREE, &feature.title);
    }
    if let Some((out, title)) = worst {
        let headline = format!(
            "`{title}` comes out over the parallels: {} from the middle is needed, {} is free.",
            bench.say(out),
            bench.say(gap)
        );
        let thin = width / 2.0 - out;
        let help = if thin > Length::mm(0.5) {
            format!("Parallels of {} thickness or less and {} height would do.", bench.say(thin), bench.say(parallel))
        } else {
            "Move the holes toward the middle, or use jaws with steps instead of parallels.".to_owned()
        };
        bench.findings.push(Diagnostic::refused("plan/parallels", headline).help(help));
    }
}
