//! Choosing an end mill, and dividing its work into cuts that cutter and machine bear.

use super::bench::{Bench, HOLDER, whole};
use super::speed::{self, SideCut};
use crate::part::Feature;
use crate::quantity::{Feed, Force, Length, Spindle};
use crate::shop::{Cutter, Tool};
use crate::standards::material::Group;

/// What is left on each wall for the finish. Common practice: 0.10 to 0.20 mm.
pub(super) const ALLOWANCE: Length = Length::mm(0.15);

/// How far the cutter's edge goes on past each end of the bar. Common practice, no source.
pub(super) const OVERRUN: Length = Length::mm(1.0);

/// How far an end mill goes on past the far face. Common practice, no source.
pub(super) const BEYOND: Length = Length::mm(0.3);

/// The largest force on one tooth that a light machine bears. Common practice: 100 to 150 N.
const FORCE: Force = Force::newton(150.0);

/// The largest radius that the corners of a mill may leave at the foot of a wall. Common
/// practice, no source.
pub(super) const CORNER: Length = Length::mm(0.2);

/// A tool with its figures.
pub(super) struct Running {
    pub(super) tool: Tool,
    pub(super) spindle: Spindle,
    pub(super) feed: Feed,
    /// Chip of one tooth at that feed.
    pub(super) chip: Length,
    /// How the figures came about.
    pub(super) said: Vec<String>,
}

impl Running {
    /// An end mill in the part's material.
    pub(super) fn of(bench: &mut Bench<'_>, tool: Tool) -> Self {
        let material = bench.part.material.clone();
        let (spindle, said_speed) = speed::spindle(bench, &tool, speed::mill_edge(&tool, &material), tool.diameter);
        let tooth = speed::mill_tooth(tool.diameter, material.group);
        let (feed, said_feed) = speed::feed(bench, &tool, spindle, tooth, tool.flutes);
        let chip = Length::mm(feed.as_mm_per_min() / (spindle.as_rpm() * f64::from(tool.flutes)).max(1.0));
        Self { tool, spindle, feed, chip, said: vec![said_speed, said_feed] }
    }

    pub(super) fn radius(&self) -> Length {
        self.tool.diameter / 2.0
    }
}

/// Depth and width of side cuts on a light machine, in diameters (common practice).
pub(super) const fn side(group: Group) -> (f64, f64) {
    match group {
        Group::Brass | Group::Aluminium | Group::Plastic => (1.0, 0.25),
        Group::Steel | Group::CastIron => (0.5, 0.10),
        Group::Stainless => (0.5, 0.05),
    }
}

/// Depth of a cut as wide as the cutter, in diameters (workshop tables: 0.10 to 0.25).
const fn slotting(group: Group) -> f64 {
    match group {
        Group::Brass | Group::Aluminium | Group::Plastic => 0.25,
        Group::Steel | Group::CastIron => 0.15,
        Group::Stainless => 0.10,
    }
}

/// In how many steps a depth is cut, each of this width, and the cut of one step: as many as keep
/// the force on a tooth and the power of the spindle in their bounds.
pub(super) fn steps(bench: &Bench<'_>, run: &Running, deep: Length, width: Length, axial: f64) -> (u32, SideCut) {
    let (material, machine) = (&bench.part.material, &bench.shop.machine);
    let tool = &run.tool;
    let mut steps = whole(deep / (tool.diameter * axial * machine.vigour).min(tool.flute_length), 200);
    let cut = |steps: u32| SideCut {
        diameter: tool.diameter,
        depth: deep / f64::from(steps),
        width,
        tooth: run.chip,
        feed: run.feed,
    };
    let watts = machine.spindle_watts / 2.0;
    while steps < 200 && (cut(steps).peak(material) > FORCE || cut(steps).watts(material) > watts) {
        steps += 1;
    }
    (steps, cut(steps))
}

/// The same for a cut as wide as the cutter.
pub(super) fn slot_steps(bench: &Bench<'_>, run: &Running, deep: Length) -> (u32, SideCut) {
    steps(bench, run, deep, run.tool.diameter, slotting(bench.part.material.group))
}

/// What an end mill is wanted for.
pub(super) struct Wanted {
    /// In words: `slot`.
    pub(super) what: &'static str,
    /// How deep it goes.
    pub(super) deep: Length,
    /// The widest that it may be, so that its walls are finished.
    pub(super) widest: Length,
    /// Limits within which it cuts its own width.
    pub(super) own: Option<(Length, Length)>,
    /// A mill that cuts its own width comes first, or last.
    pub(super) own_first: bool,
}

/// A mill and whether it cuts its own width.
pub(super) struct Chosen {
    pub(super) tool: Tool,
    pub(super) own: bool,
    pub(super) why: String,
    pub(super) others: Vec<String>,
}

/// The stiffest mill that does it.
///
/// # Errors
/// The mills of the crib, each with the reason against it.
pub(super) fn choose(bench: &Bench<'_>, wanted: &Wanted) -> Result<Chosen, Vec<String>> {
    let mut others = Vec::new();
    let mut fitting: Vec<(&Tool, bool)> = Vec::new();
    let dust = Length::mm(1e-6);
    for tool in &bench.shop.tools {
        let Cutter::EndMill { centre_cutting, corner } = tool.cutter else { continue };
        let own = wanted.own.is_some_and(|(least, most)| tool.diameter >= least - dust && tool.diameter <= most + dust);
        let mut against = |reason: String| others.push(format!("tool {}: {reason}", tool.number));
        if !own && tool.diameter > wanted.widest + dust {
            against(format!("{} is above {}", bench.say(tool.diameter), bench.say(wanted.widest)));
        } else if !centre_cutting {
            against("its edges do not reach its middle".to_owned());
        } else if tool.flute_length < wanted.deep {
            let edges = bench.say(tool.flute_length);
            against(format!("its edges are {edges} long, the {} is {} deep", wanted.what, bench.say(wanted.deep)));
        } else if tool.stick_out < wanted.deep + HOLDER {
            against("the holder would touch the work".to_owned());
        } else if corner > CORNER {
            against(format!("its corners leave a radius of {}", bench.say(corner)));
        } else {
            fitting.push((tool, own));
        }
    }
    let soft = |tool: &Tool| speed::bend(tool, Force::newton(1.0));
    fitting.sort_by(|(a, own_a), (b, own_b)| {
        let first = own_b.cmp(own_a);
        let first = if wanted.own_first { first } else { first.reverse() };
        first.then(soft(a).order(soft(b)))
    });
    let mut fitting = fitting.into_iter();
    let Some((tool, own)) = fitting.next() else { return Err(others) };
    for (other, _) in fitting {
        let against = if own && wanted.own_first { "is not of its size" } else { "bends more" };
        others.push(format!("tool {}: {against}", other.number));
    }
    let why = if own {
        format!("as wide as the {}", wanted.what)
    } else {
        format!(
            "the stiffest of {} or less whose edges reach {} down",
            bench.say(wanted.widest),
            bench.say(wanted.deep)
        )
    };
    Ok(Chosen { tool: tool.clone(), own, why, others })
}

/// The mill that would do, in words.
pub(super) fn would_do(bench: &Bench<'_>, wanted: &Wanted) -> String {
    let what = match wanted.own {
        Some((least, most)) if wanted.widest <= Length::ZERO => {
            format!("{} to {}", bench.say(least), bench.say(most))
        }
        _ => format!("{} or less", bench.say(wanted.widest)),
    };
    format!(
        "a centre-cutting end mill of {what} with sharp corners and edges {} long or longer",
        bench.say(wanted.deep)
    )
}

/// One or more.
pub(super) const fn plural(count: u32) -> &'static str {
    if count == 1 { "" } else { "s" }
}

/// The operation's feature, as all operations carry it.
pub(super) fn title(verb: &str, feature: &Feature) -> String {
    format!("{verb} {}", feature.title)
}
