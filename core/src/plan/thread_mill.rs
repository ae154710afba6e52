//! Choosing a thread mill and the way that it goes.

use super::bench::{Bench, CLEAR, NEAR, whole};
use super::hole::{choose, in_order};
use super::model::{At, Move, Operation, Position, THREAD, Turn, Work};
use super::speed;
use super::thread::{Cut, Profile, centre_feed, cut, pass_count, passes};
use crate::diag::Diagnostic;
use crate::part::{Feature, Head, Holes, Make, Place, Size};
use crate::quantity::{Feed, Length, fixed};
use crate::shop::{Cutter, Tool};
use crate::standards::material::Group;
use crate::standards::thread::{Hand, Thread};

/// A thread mill that fits, and how it cuts.
struct Fit<'t> {
    tool: &'t Tool,
    cut: Cut,
    flat: Length,
    rows: u32,
    tip: Length,
    span: Span,
    /// Overcut as a share of the tolerance of the pitch diameter.
    share: f64,
}

/// Below the far face and above the near one, in pitches, the middle of the tooth goes on; in a
/// blind hole, below the full thread.
const OVERRUN: f64 = 0.5;

/// The end of the cutter stays so far above the cone that the drill leaves. Common practice, no
/// source.
const CHIPS: Length = Length::mm(0.2);

/// A cutter is so much thinner than the hole that it orbits in, so that it comes out free of the
/// wall. Common practice, no source.
const ROOM: Length = Length::mm(0.2);

/// Its neck reaches so far beyond the deepest turn. Common practice, no source.
const BEYOND: Length = Length::mm(0.5);

/// From where to where the middle of a tooth turns, as heights.
#[derive(Clone, Copy, Debug)]
struct Span {
    low: Length,
    high: Length,
}

impl Span {
    /// Of a cutter with this tip, in holes that are drilled so deep at the full diameter, or
    /// through.
    fn of(
        bench: &Bench<'_>,
        holes: &Holes,
        pitch: Length,
        tip: Length,
        drilled: Option<Length>,
    ) -> Result<Self, String> {
        let top = match &holes.head {
            Some(Head::Counterbore { depth, .. }) => -depth.middle(),
            Some(Head::Countersink { .. }) | None => Length::ZERO,
        };
        let high = top + pitch * OVERRUN;
        let wanted = if let Make::Tapped { full, .. } = &holes.make { full.as_ref() } else { None };
        // The way in climbs a quarter of the pitch, from below.
        let most = drilled.map(|drilled| drilled - CHIPS - tip - pitch * (OVERRUN + 0.25));
        // More than a pitch below what is wanted only costs time.
        let aim = |wanted: &Size| wanted.middle().min(wanted.least() + pitch);
        let deep = match (wanted, most) {
            (None, None) => bench.thickness(),
            (None, Some(most)) => most,
            (Some(wanted), None) => aim(wanted),
            (Some(wanted), Some(most)) if most < wanted.least() => {
                return Err(format!(
                    "its tip leaves {} of full thread above the drill's cone, {} are wanted",
                    bench.say(most.max(Length::ZERO)),
                    bench.say(wanted.least())
                ));
            }
            (Some(wanted), Some(most)) => aim(wanted).min(most),
        };
        if -deep >= top {
            return Err("there is no room for a thread".to_owned());
        }
        Ok(Self { low: -(deep + pitch * OVERRUN), high })
    }

    /// How far the end of a cutter with this tip goes below the face.
    fn below(self, pitch: Length, tip: Length) -> Length {
        pitch * 0.25 + tip - self.low
    }
}

/// Mills the thread, or leaves it to be tapped by hand where no cutter fits. `full` is how deep
/// the holes are drilled at their full diameter; nothing where they go through.
pub(super) fn mill(
    bench: &mut Bench<'_>,
    feature: &Feature,
    holes: &Holes,
    drilled: Length,
    full: Option<Length>,
) -> Option<Operation> {
    let (thread, hand) = holes.thread()?;
    let mut others = Vec::new();
    let mut fits = Vec::new();
    for tool in &bench.shop.tools {
        match fit(bench, tool, holes, thread, (drilled, full)) {
            Some(Ok(found)) => fits.push(found),
            Some(Err(against)) => others.push(format!("tool {}: {against}", tool.number)),
            None => {}
        }
    }
    // Little overcut first, then few turns, then a stiff neck.
    fits.sort_by(|a, b| {
        let doubtful = |fit: &Fit<'_>| fit.share > 1.0 / 3.0;
        doubtful(a).cmp(&doubtful(b)).then(b.rows.cmp(&a.rows)).then(softness(a.tool).total_cmp(&softness(b.tool)))
    });
    let mut fits = fits.into_iter();
    let Some(best) = fits.next() else {
        by_hand(bench, feature, holes, thread, full, others);
        return None;
    };
    for other in fits {
        let against = if other.rows < best.rows {
            "needs more turns".to_owned()
        } else if other.share > 1.0 / 3.0 && best.share <= 1.0 / 3.0 {
            format!("widens the flanks by {} % of the tolerance", fixed(other.share * 100.0, 0))
        } else {
            "bends more".to_owned()
        };
        others.push(format!("tool {}: {against}", other.tool.number));
    }
    if best.share > 1.0 / 3.0 {
        let headline = format!(
            "Tool {} widens the flanks of {} by {} % of the tolerance of the pitch diameter.",
            best.tool.number,
            thread.name,
            fixed(best.share * 100.0, 0)
        );
        let finding = Diagnostic::caution("plan/overcut", headline);
        bench.findings.push(finding.help("A thinner cutter does so less; gauge every thread of this one."));
    }
    let why = format!(
        "{} in the hole of {}, {} row{}, reaches {}; its flank overcut is {} % of the tolerance",
        bench.say(best.tool.diameter),
        bench.say(drilled),
        best.rows,
        if best.rows == 1 { "" } else { "s" },
        bench.say(best.tool.reach),
        fixed(best.share * 100.0, 0)
    );
    choose(bench, feature, THREAD, Some(best.tool.number), why, others);
    Some(operation(bench, feature, holes, (thread, hand), drilled, &best))
}

/// How easily a cutter bends: the cube of its reach over the fourth power of its diameter.
fn softness(tool: &Tool) -> f64 {
    let (long, thick) = (tool.reach.as_mm(), tool.diameter.as_mm());
    long * long * long / (thick * thick * thick * thick)
}

/// Whether a cutter fits the thread; `None` for what is no thread mill.
fn fit<'t>(
    bench: &Bench<'_>,
    tool: &'t Tool,
    holes: &Holes,
    thread: &Thread,
    (drilled, full): (Length, Option<Length>),
) -> Option<Result<Fit<'t>, String>> {
    let Cutter::ThreadMill { pitch_min, pitch_max, rows, tip_flat, tip, corrected } = tool.cutter else {
        return None;
    };
    let dust = Length::mm(1e-3);
    let pitch = thread.pitch;
    if pitch < pitch_min - dust || pitch > pitch_max + dust {
        let range = if pitch_max - pitch_min < dust {
            format!("its pitch is {}", bench.say(pitch_min))
        } else {
            format!("it cuts pitches of {} to {}", bench.say(pitch_min), bench.say(pitch_max))
        };
        return Some(Err(format!("{range}, the thread has {}", bench.say(pitch))));
    }
    if rows > 1 && (pitch - pitch_min).abs() > Length::mm(1e-4) {
        return Some(Err(format!(
            "its rows stand {} apart, the thread has {}",
            bench.say(pitch_min),
            bench.say(pitch)
        )));
    }
    let most = thread.internal.minor_min.min(drilled) - ROOM;
    if tool.diameter > most {
        return Some(Err(format!(
            "{} is above {}, {} less than the hole",
            bench.say(tool.diameter),
            bench.say(most),
            bench.say(ROOM)
        )));
    }
    let span = match Span::of(bench, holes, pitch, tip, full) {
        Ok(span) => span,
        Err(against) => return Some(Err(against)),
    };
    let deep = span.below(pitch, tip) + BEYOND;
    if tool.reach < deep {
        return Some(Err(format!("reaches {}, {} are needed", bench.say(tool.reach), bench.say(deep))));
    }
    let profile = match (tip_flat, corrected) {
        (Some(flat), true) => Profile::Corrected(flat),
        (Some(flat), false) => Profile::Flat(flat),
        (None, _) => Profile::Unknown,
    };
    // Both the whole radius and its half are to lie on the grid of the program.
    let cut = cut(thread, tool.diameter, profile, bench.step() * 2.0);
    if let Some(pitch_diameter) = cut.pitch_diameter
        && (pitch_diameter > thread.internal.pitch_max || pitch_diameter < thread.internal.pitch_min)
    {
        let wide = bench.say(pitch_diameter);
        return Some(Err(format!(
            "its wide tip would leave a pitch diameter of {wide}, {} at most",
            bench.say(thread.internal.pitch_max)
        )));
    }
    let tolerance = thread.internal.pitch_max - thread.internal.pitch_min;
    let share = if corrected { 0.0 } else { cut.overcut / tolerance };
    if share > 0.5 {
        return Some(Err(format!(
            "too fat for the thread: it widens the flanks by {} % of the tolerance",
            fixed(share * 100.0, 0)
        )));
    }
    let flat = tip_flat.unwrap_or(pitch / 8.0);
    Some(Ok(Fit { tool, cut, flat, rows, tip, span, share }))
}

/// Leads of the taps that there are, in pitches: taper, second and bottoming (ISO 8830, from
/// memory).
const LEADS: [(f64, &str); 3] = [(7.0, "taper"), (4.0, "second"), (1.5, "bottoming")];

fn by_hand(
    bench: &mut Bench<'_>,
    feature: &Feature,
    holes: &Holes,
    thread: &Thread,
    full: Option<Length>,
    others: Vec<String>,
) {
    let headline =
        format!("No thread mill of the crib cuts {}: `{}` is left to be tapped.", thread.name, feature.title);
    let finding = super::hole::with_notes(Diagnostic::caution("plan/tap-by-hand", headline), &others);
    let tip = thread.pitch * 0.5;
    let reach = match Span::of(bench, holes, thread.pitch, tip, full) {
        Ok(span) => span.below(thread.pitch, tip),
        Err(_) => full.unwrap_or_else(|| bench.thickness()),
    };
    let help = format!(
        "A thread mill of {} to {} for a pitch of {}, reaching {}, would do.",
        bench.say(thread.major * 0.5),
        bench.say((thread.internal.minor_min - ROOM).min(thread.major * 0.65)),
        bench.say(thread.pitch),
        bench.say(reach + BEYOND)
    );
    bench.findings.push(finding.help(help));
    let note = format!("Tap {} {} by hand at the bench.", feature.title, thread.designation);
    let mut said = String::new();
    if let (Some(drilled), Make::Tapped { full: Some(wanted), .. }) = (full, &holes.make) {
        let room = drilled - wanted.least();
        let pitches = room / thread.pitch;
        let tap = LEADS.iter().find(|(lead, _)| *lead <= pitches);
        let tap = tap.map_or_else(
            || "Grind the lead of a bottoming tap short".to_owned(),
            |(lead, name)| format!("Finish with a {name} tap (lead of {} pitches)", fixed(*lead, 1)),
        );
        said = format!(
            " {tap}: the hole is {} deep and full thread reaches {}, which leaves {} pitches.",
            bench.say(drilled),
            bench.say(wanted.least()),
            fixed(pitches, 1)
        );
    }
    bench.note(note + &said);
    choose(
        bench,
        feature,
        THREAD,
        None,
        "no cutter fits: drilled and chamfered here, tapped by hand".to_owned(),
        others,
    );
}

fn operation(
    bench: &mut Bench<'_>,
    feature: &Feature,
    holes: &Holes,
    (thread, hand): (&Thread, Hand),
    drilled: Length,
    fit: &Fit<'_>,
) -> Operation {
    let group = bench.part.material.group;
    let edge_speed = speed::mill_edge(fit.tool, &bench.part.material);
    let (spindle, said_speed) = speed::spindle(bench, fit.tool, edge_speed, fit.tool.diameter);
    let tooth = speed::thread_tooth(fit.tool.diameter, group);
    let (edge, said_feed) = speed::feed(bench, fit.tool, spindle, tooth, fit.tool.flutes);
    let feed = centre_feed(edge, fit.cut.diameter, fit.tool.diameter);
    let said_centre =
        format!("the middle of the cutter moves at {} mm/min in the last pass", fixed(feed.as_mm_per_min(), 0));
    if feed < Feed::mm_per_min(5.0) {
        let headline = format!("Tool {} would creep at {} mm/min.", fit.tool.number, fixed(feed.as_mm_per_min(), 1));
        bench.findings.push(Diagnostic::caution("plan/feed", headline).help("A thinner cutter may run faster."));
    }
    let orbits = orbits(bench, thread, group, drilled, fit);
    let mut moves = Vec::new();
    for place in in_order(holes) {
        moves.extend(in_hole(bench, place, thread, hand, fit, &orbits, edge));
    }
    let mut reasons = vec![said_speed, said_feed, said_centre];
    reasons.push(match fit.cut.pitch_diameter {
        Some(pitch) => format!(
            "radius of the path {}: the tip sweeps {}, the pitch diameter becomes {} (limits {} to {})",
            bench.say(fit.cut.orbit),
            bench.say(fit.cut.diameter),
            bench.say(pitch),
            bench.say(thread.internal.pitch_min),
            bench.say(thread.internal.pitch_max)
        ),
        None => format!(
            "the flat at the cutter's tip is not known: the tip sweeps the major diameter, {}; gauge the first thread",
            bench.say(fit.cut.diameter)
        ),
    });
    reasons.push(format!("{} passes of equal area and one more at the last radius", orbits.len() - 1));
    if fit.cut.pitch_diameter.is_none() {
        bench.note(format!(
            "Tool {}: measure the flat at its tip and write it in the shop's tool table.",
            fit.tool.number
        ));
    }
    bench.note(format!(
        "{}: if the go gauge does not enter, run the last pass with a path radius {} larger.",
        thread.designation,
        bench.at_mill(Length::mm(0.01))
    ));
    Operation {
        work: Work::ThreadMill,
        tool: fit.tool.number,
        spindle,
        feed,
        title: format!("Mill the threads {} of {}", thread.designation, feature.title),
        reasons,
        feature: feature.id.clone(),
        origin: feature.origin.clone(),
        moves,
    }
}

/// The radii of the passes; the last stands twice, so that a bent cutter springs back.
fn orbits(bench: &Bench<'_>, thread: &Thread, group: Group, drilled: Length, fit: &Fit<'_>) -> Vec<Length> {
    let tough = matches!(group, Group::Steel | Group::Stainless);
    let depth = (fit.cut.diameter - drilled) / 2.0;
    let step = bench.step() * 2.0;
    let shares = passes(pass_count(thread.pitch, tough), depth, fit.flat);
    let mut orbits: Vec<Length> = shares
        .iter()
        .map(|share| (((drilled - fit.tool.diameter) / 2.0) + depth * *share).to_nearest(step).max(step))
        .collect();
    if let Some(last) = orbits.last_mut() {
        *last = fit.cut.orbit;
    }
    orbits.push(fit.cut.orbit);
    orbits
}

/// All passes in one hole. Against the clock for both hands, which is climb milling with a
/// spindle that turns with the clock: upward for a right-hand thread, downward for a left-hand one.
fn in_hole(
    bench: &Bench<'_>,
    place: Place,
    thread: &Thread,
    hand: Hand,
    fit: &Fit<'_>,
    orbits: &[Length],
    edge: Feed,
) -> Vec<Move> {
    let (pitch, step) = (thread.pitch, bench.step());
    let centre = Place { x: place.x.to_nearest(step), y: place.y.to_nearest(step) };
    let air = bench.air();
    let lowest = fit.span.low - fit.tip;
    let advance = pitch * f64::from(fit.rows);
    let count = whole((fit.span.high - fit.span.low) / advance, 2000);
    let (rise, blocks): (Length, Vec<u32>) = match hand {
        Hand::Right => (pitch, (0..count).collect()),
        Hand::Left => (-pitch, (0..count).rev().collect()),
    };
    let mut moves = vec![Move::Rapid { to: At::xy(centre.x, centre.y) }, Move::Rapid { to: At::z(NEAR) }];
    for orbit in orbits {
        let feed = centre_feed(edge, fit.tool.diameter + *orbit * 2.0, fit.tool.diameter);
        let wall = centre.x + *orbit;
        let half = Place { x: centre.x + *orbit / 2.0, y: centre.y };
        let arc = |x: Length, z: Length, centre: Place| Move::Arc {
            to: Position { x, y: centre.y, z },
            centre,
            turn: Turn::CounterClockwise,
            feed,
        };
        let mut inside = false;
        for block in &blocks {
            // A single row turns on and on; several rows step from one set of threads to the next.
            let low = lowest + advance * f64::from(*block);
            let mut z = if rise > Length::ZERO { low } else { low + pitch };
            if !inside {
                moves.push(Move::Feed { to: At::z(z - rise / 4.0), feed: air });
                moves.push(arc(wall, z, half));
                inside = true;
            }
            z += rise;
            moves.push(arc(wall, z, centre));
            let last = blocks.last() == Some(block);
            if fit.rows > 1 || last {
                moves.push(arc(centre.x, z + rise / 4.0, half));
                inside = false;
            }
        }
        // Up the middle of the hole, free of its threads.
        moves.push(Move::Feed { to: At::z(NEAR), feed: air });
    }
    moves.push(Move::Rapid { to: At::z(CLEAR) });
    moves
}
