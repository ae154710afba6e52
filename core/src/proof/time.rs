//! Predicted time: moves limited by acceleration, tool changes, spindle starts, waits.

use serde::Serialize;

use super::motion::{Motion, Path};
use super::trace::Event;
use crate::quantity::{Time, trig};
use crate::shop::Shop;

/// The time of a program at the machine.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Times {
    /// From one tool change to the next, in the order of the program: number of the tool, and
    /// its time with the change before it.
    pub sections: Vec<(u32, Time)>,
    /// Of the whole program.
    pub total: Time,
}

/// How far a path may be rounded at a corner where nothing else is said, in millimetres: the
/// usual setting of a continuous path mode; common practice, no source.
const BLEND: f64 = 0.02;

/// Gives every move its start and end, and adds up.
pub(super) fn schedule(events: &mut [Event], shop: &Shop) -> Times {
    let speeds = speeds(events, shop);
    let acceleration = shop.machine.acceleration.max(1.0);
    let waits_itself = shop.control.dwell.is_none();
    let mut now = 0.0;
    let mut times = Times::default();
    let mut begun = 0.0;
    let mut tool = 0;
    let mut seen = 0;
    for event in events.iter_mut() {
        match event {
            Event::Move(motion, _) => {
                let (enter, top, leave) = speeds[seen];
                seen += 1;
                motion.t0 = Time::second(now);
                now += travel(motion.length(), enter, top, leave, acceleration);
                motion.t1 = Time::second(now);
            }
            Event::Dwell { time, .. } => now += time.as_second(),
            Event::Start { fresh: true, .. } if waits_itself => now += shop.machine.spindle_start.as_second(),
            Event::Change { tool: next, .. } => {
                if now > begun {
                    times.sections.push((tool, Time::second(now - begun)));
                }
                begun = now;
                tool = *next;
                now += shop.machine.tool_change.as_second();
            }
            Event::Start { .. } | Event::Blind { .. } | Event::HeightUnknown { .. } | Event::End { .. } => {}
        }
    }
    if now > begun {
        times.sections.push((tool, Time::second(now - begun)));
    }
    times.total = Time::second(now);
    times
}

/// Speed at the start, on the way and at the end of each move, in mm/s.
fn speeds(events: &[Event], shop: &Shop) -> Vec<(f64, f64, f64)> {
    let acceleration = shop.machine.acceleration.max(1.0);
    let mut list: Vec<(f64, f64, f64)> = Vec::new();
    let mut before: Option<(Motion, f64)> = None;
    let mut lengths = Vec::new();
    for event in events {
        let Event::Move(motion, exact) = event else {
            before = None;
            continue;
        };
        let wanted = if motion.rapid { shop.machine.rapid } else { motion.feed };
        let mut top = (wanted.as_mm_per_min() / 60.0).max(1e-3);
        if let Path::Arc(arc) = motion.path {
            // The way round a bend is an acceleration too: v² / r.
            top = top.min((acceleration * arc.radius).sqrt());
        }
        let enter = match before {
            Some((previous, speed)) if !exact && previous.rapid == motion.rapid => {
                corner(&previous, motion, acceleration).min(top).min(speed)
            }
            _ => 0.0,
        };
        if let Some(last) = list.last_mut() {
            last.2 = enter;
        }
        list.push((enter, top, 0.0));
        lengths.push(motion.length());
        before = Some((*motion, top));
    }
    // What cannot be braked before the next corner, and what cannot be gained after the last.
    for index in (0..list.len()).rev() {
        let (enter, _, leave) = list[index];
        let most = (leave * leave + 2.0 * acceleration * lengths[index]).sqrt();
        if enter > most {
            list[index].0 = most;
            if index > 0 {
                list[index - 1].2 = most;
            }
        }
    }
    for index in 0..list.len() {
        let (enter, _, leave) = list[index];
        let most = (enter * enter + 2.0 * acceleration * lengths[index]).sqrt();
        if leave > most {
            list[index].2 = most;
            if index + 1 < list.len() {
                list[index + 1].0 = most;
            }
        }
    }
    list
}

/// The speed at which a corner may be passed: exact for a tangent join, else the speed at which a
/// bend that leaves the corner by [`BLEND`] can be taken.
fn corner(last: &Motion, next: &Motion, acceleration: f64) -> f64 {
    let (Some(a), Some(b)) = (last.direction(true), next.direction(false)) else {
        return 0.0;
    };
    let along = (a[0] * b[0] + a[1] * b[1] + a[2] * b[2]).clamp(-1.0, 1.0);
    if along > 0.9999 {
        return f64::INFINITY;
    }
    // sin(θ/2) of the inside angle θ = π - turn: cos(turn/2).
    let sine = f64::midpoint(1.0, along).sqrt();
    (acceleration * BLEND * sine / (1.0 - sine)).sqrt()
}

/// Time for a way with given speeds at both ends and a greatest speed between.
fn travel(length: f64, enter: f64, top: f64, leave: f64, acceleration: f64) -> f64 {
    if length <= 0.0 {
        return 0.0;
    }
    let top = top.max(enter).max(leave);
    let gain = (top * top - enter * enter) / (2.0 * acceleration);
    let brake = (top * top - leave * leave) / (2.0 * acceleration);
    if gain + brake <= length {
        (top - enter) / acceleration + (top - leave) / acceleration + (length - gain - brake) / top
    } else {
        let peak = ((2.0 * acceleration * length + enter * enter + leave * leave) / 2.0).max(0.0).sqrt();
        let peak = peak.max(enter).max(leave);
        let time = (peak - enter) / acceleration + (peak - leave) / acceleration;
        // Ends that no acceleration can join in this length: at their mean.
        if time > 0.0 { time } else { 2.0 * length / trig::hypot(enter + leave, 0.0).max(1e-6) }
    }
}

#[cfg(test)]
mod tests {
    use super::travel;

    /// `s` at 3000 mm/min and 250 mm/s²: a worked table of the trapezoid rule.
    #[test]
    fn rest_to_rest() {
        for (length, time) in [(50.0, 1.20), (5.0, 0.283), (1.0, 0.126)] {
            let got = travel(length, 0.0, 50.0, 0.0, 250.0);
            assert!((got - time).abs() < 0.001, "{length} mm take {got} s, not {time}");
        }
        assert!((travel(10.0, 5.0, 5.0, 5.0, 250.0) - 2.0).abs() < 1e-9, "at an even speed");
    }
}
