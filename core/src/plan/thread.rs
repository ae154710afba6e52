//! The geometry of milling an internal thread of the 60° profile with a smaller cutter.

use crate::quantity::{Feed, Length, trig};
use crate::standards::thread::Thread;

/// Tangent of half the angle of the thread, 30°.
const TAN30: f64 = 0.577_350_269_189_625_8;

/// What is known of a cutter's profile.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Profile {
    /// The flat at the tip of a tooth has this width; the flanks are straight.
    Flat(Length),
    /// The same, but the flanks are corrected for this thread and leave no overcut.
    Corrected(Length),
    /// Not known.
    Unknown,
}

/// How a thread is cut by a cutter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// Diameter that the tip of the tooth sweeps in the last pass.
    pub diameter: Length,
    /// Radius of the path of the cutter's middle in the last pass.
    pub orbit: Length,
    /// How much the flanks are cut wide, as growth of the pitch diameter.
    pub overcut: Length,
    /// The pitch diameter that comes of it, where the profile is known.
    pub pitch_diameter: Option<Length>,
}

/// How far a flank is cut away axially beyond the cutter's own profile, at this radius of the
/// thread: the largest over all angles of `P·θ/2π - (d(θ) - d(0))·tan 30°`, where `d` is the
/// distance of the place on the flank from the cutter's axis.
///
/// The condition is that a straight profile, swept along a helix, passes each place of the flank
/// not only when it is nearest.
pub fn overcut(radius: Length, orbit: Length, pitch: Length) -> Length {
    let (radius, orbit, pitch) = (radius.as_mm(), orbit.as_mm(), pitch.as_mm());
    if orbit <= 0.0 || radius <= orbit {
        return Length::ZERO;
    }
    let rise = pitch / (2.0 * std::f64::consts::PI);
    // With `d² = sum - twice·cos θ`, the largest is where `P/2π·d = tan 30°·radius·orbit·sin θ`.
    // Squared, that is a quadratic equation for the cosine, whose larger root is the smaller angle.
    // It falls from 0 to the angle at which the way to the cutter's axis stands across: where
    // there is no root before that angle, the largest is there.
    let (sum, twice) = (radius * radius + orbit * orbit, 2.0 * radius * orbit);
    let leans = TAN30 * radius * orbit;
    let (rises, leans) = (rise * rise, leans * leans);
    let half = rises * twice / 2.0;
    let root = half * half - leans * (rises * sum - leans);
    let across = orbit / radius;
    let cosine = if root > 0.0 { ((half + root.sqrt()) / leans).clamp(across, 1.0) } else { across };
    let angle = trig::acos(cosine).as_rad();
    let distance = (sum - twice * cosine).max(0.0).sqrt();
    Length::mm(rise * angle - (distance - (radius - orbit)) * TAN30)
}

/// The last pass of a cutter of this diameter in this thread: aimed at the middle of the limits of
/// the pitch diameter, where the profile is known; at the major diameter, where it is not.
///
/// `step` is what the radius of the path is snapped to.
pub fn cut(thread: &Thread, cutter: Length, profile: Profile, step: Length) -> Cut {
    let target = (thread.internal.pitch_min + thread.internal.pitch_max) / 2.0;
    let growth = |orbit: Length, wanted: bool| {
        let dz = if wanted { overcut(target / 2.0, orbit, thread.pitch) } else { Length::ZERO };
        dz * (2.0 / TAN30)
    };
    let (flat, straight) = match profile {
        Profile::Flat(flat) => (flat, true),
        Profile::Corrected(flat) => (flat, false),
        Profile::Unknown => {
            let orbit = no_less((thread.major - cutter) / 2.0, step);
            let overcut = growth(orbit, true);
            return Cut { diameter: cutter + orbit * 2.0, orbit, overcut, pitch_diameter: None };
        }
    };
    // The groove of this tooth is half a pitch wide so far inside its tip.
    let tooth = (thread.pitch / 2.0 - flat) / TAN30;
    let mut orbit = (target + tooth - cutter) / 2.0;
    for _ in 0..40 {
        orbit = (target - growth(orbit, straight) + tooth - cutter) / 2.0;
    }
    // The root must be clear of the go gauge's crest.
    orbit = snap(orbit, step).max(no_less((thread.major - cutter) / 2.0, step));
    let diameter = cutter + orbit * 2.0;
    let overcut = growth(orbit, straight);
    Cut { diameter, orbit, overcut, pitch_diameter: Some(diameter - tooth + overcut) }
}

/// Brought up to the next step, so that a root is never a rounding short of its screw.
fn no_less(length: Length, step: Length) -> Length {
    if step > Length::ZERO { length.up_to(step) } else { length }
}

fn snap(length: Length, step: Length) -> Length {
    if step > Length::ZERO { length.to_nearest(step) } else { length }
}

/// Depths of the passes as shares of the whole depth, each taking the same area:
/// `A = f·t + t²·tan 30°`.
pub fn passes(count: u32, depth: Length, flat: Length) -> Vec<f64> {
    let (depth, flat) = (depth.as_mm(), flat.as_mm());
    if depth <= 0.0 {
        return vec![1.0];
    }
    let area = flat * depth + depth * depth * TAN30;
    (1..=count.max(1))
        .map(|pass| {
            let part = area * f64::from(pass) / f64::from(count.max(1));
            let root = (flat * flat + 4.0 * TAN30 * part).sqrt();
            ((root - flat) / (2.0 * TAN30) / depth).min(1.0)
        })
        .collect()
}

/// How many passes a pitch needs (open table of a tooling maker; one more in tough stock).
pub(super) fn pass_count(pitch: Length, tough: bool) -> u32 {
    let count = match pitch.as_mm() {
        p if p < 0.75 => 2,
        p if p < 1.1 => 3,
        p if p < 1.4 => 4,
        _ => 5,
    };
    count + u32::from(tough)
}

/// Feed of the cutter's middle for a feed of its edge, inside a bore: `F (D - d)/D`.
pub fn centre_feed(edge: Feed, bore: Length, cutter: Length) -> Feed {
    edge * ((bore - cutter) / bore).max(0.0)
}

#[cfg(test)]
pub(crate) mod tests {
    use super::*;
    use crate::quantity::{Area, Unit};
    use crate::standards::drill::Drill;
    use crate::standards::thread::{External, Internal};

    /// M5x0.8-6H with the limits of ISO 965-1 (published values).
    pub(crate) fn m5() -> Thread {
        metric("M5x0.8", "M5", 5.0, 0.8, [4.134, 4.334, 4.480, 4.605], 4.2)
    }

    pub(crate) fn metric(long: &str, name: &str, major: f64, pitch: f64, limits: [f64; 4], drill: f64) -> Thread {
        let [minor_min, minor_max, pitch_min, pitch_max] = limits.map(Length::mm);
        let major = Length::mm(major);
        Thread {
            designation: long.to_owned(),
            name: name.to_owned(),
            unit: Unit::Mm,
            major,
            pitch: Length::mm(pitch),
            internal: Internal { class: "6H".to_owned(), minor_min, minor_max, pitch_min, pitch_max },
            external: External {
                class: "6g".to_owned(),
                major_max: major,
                major_min: major,
                pitch_max: pitch_min,
                pitch_min,
            },
            tap_drill: Drill { name: format!("{drill} mm"), diameter: Length::mm(drill) },
            stress_area: Area::mm2(14.2),
            source: "ISO 965-1".to_owned(),
        }
    }

    fn near(found: Length, wanted: f64, within: f64, what: &str) {
        assert!((found.as_mm() - wanted).abs() <= within, "{what}: {found:?}, not {wanted}");
    }

    #[test]
    fn path_radius_of_m5() {
        // The workshop notes take the overcut for the orbit of the plain rule, 1.000 mm, as
        // 0.027 mm, and get 5.104 and 1.052. The overcut of that larger orbit itself is 0.025.
        near(overcut(Length::mm(2.27), Length::mm(1.0), Length::mm(0.8)) * (2.0 / TAN30), 0.027, 0.0007, "overcut");
        let found = cut(&m5(), Length::mm(3.0), Profile::Flat(Length::mm(0.06)), Length::ZERO);
        near(found.overcut, 0.025, 0.0007, "overcut");
        near(found.diameter, 5.104 + 0.027 - 0.025, 0.0015, "diameter");
        near(found.orbit, 1.053, 0.001, "orbit");
        near(found.pitch_diameter.expect("known"), 4.5425, 1e-6, "aimed at the middle");
        let wide = cut(&m5(), Length::mm(3.0), Profile::Flat(Length::mm(0.1)), Length::ZERO);
        near(wide.orbit, 1.018, 0.002, "a flat of an eighth of the pitch");
    }

    #[test]
    fn fat_cutters_spoil_threads() {
        // Workshop notes 7.3, computed there independently: M5, share of the major diameter.
        for (share, growth) in [(0.5, 0.017), (0.6, 0.027), (0.65, 0.034), (0.7, 0.044), (0.75, 0.057), (0.8, 0.077)] {
            let orbit = Length::mm(5.0 * (1.0 - share) / 2.0);
            let found = overcut(Length::mm(4.48 / 2.0), orbit, Length::mm(0.8)) * (2.0 / TAN30);
            near(found, growth, 0.0012, &format!("cutter of {share} of the thread"));
        }
    }

    #[test]
    fn overcut_against_a_plain_search() {
        let (radius, orbit, pitch): (f64, f64, f64) = (2.27, 0.75, 0.8);
        let mut most = 0.0_f64;
        for step in 0..200_000 {
            let angle = f64::from(step) * 5e-6;
            let far = (radius * radius + orbit * orbit - 2.0 * radius * orbit * libm::cos(angle)).sqrt();
            most = most.max(pitch * angle / std::f64::consts::TAU - (far - (radius - orbit)) * TAN30);
        }
        near(overcut(Length::mm(radius), Length::mm(orbit), Length::mm(pitch)), most, 1e-9, "the largest");
    }

    #[test]
    fn the_root_is_never_short() {
        let found = cut(&m5(), Length::mm(3.0), Profile::Flat(Length::mm(0.15)), Length::ZERO);
        near(found.diameter, 5.0, 1e-9, "major diameter");
        assert!(found.pitch_diameter.expect("known") > Length::mm(4.5425), "and the flanks are wide then");
        let plain = cut(&m5(), Length::mm(3.0), Profile::Unknown, Length::ZERO);
        near(plain.orbit, 1.0, 1e-9, "plain rule");
        assert_eq!(plain.pitch_diameter, None, "nothing is promised");
    }

    #[test]
    fn passes_share_the_area() {
        // Workshop notes 7.5: t 0.40, f = P/8 = 0.1.
        for (count, shares) in
            [(2, vec![65.7, 100.0]), (3, vec![51.0, 78.0, 100.0]), (4, vec![42.0, 66.0, 84.0, 100.0])]
        {
            let found = passes(count, Length::mm(0.4), Length::mm(0.1));
            for (found, wanted) in found.iter().zip(&shares) {
                assert!((found * 100.0 - wanted).abs() < 0.6, "{count} passes: {found} and {wanted} %");
            }
        }
    }

    #[test]
    fn the_edge_runs_faster_than_the_middle() {
        // Workshop notes 7.4: M5, edge 360 mm/min.
        for (cutter, feed) in [(3.0, 144.0), (3.7, 93.6), (4.0, 72.0)] {
            let found = centre_feed(Feed::mm_per_min(360.0), Length::mm(5.0), Length::mm(cutter));
            assert!((found.as_mm_per_min() - feed).abs() < 0.1, "{cutter}: {found:?}");
        }
        // Open table there: 9/16-18, cutter 0.370 in, 8.3 in/min becomes 2.8.
        let found = centre_feed(Feed::mm_per_min(8.3), Length::mm(0.5625), Length::mm(0.370));
        assert!((found.as_mm_per_min() - 2.84).abs() < 0.01, "{found:?}");
    }
}
