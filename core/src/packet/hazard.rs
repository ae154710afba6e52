//! The page of hazards: what to mind with this material and this work.
//!
//! Common practice of small workshops, no source, but where one stands beside it. Local codes, the
//! machine's manual and a qualified person come first, and the page says so.

use super::Order;
use super::desk::{CLEAR, Desk};
use crate::batch::AIR;
use crate::standards::material::Group;

/// Writes the page.
pub(super) fn write(desk: &mut Desk<'_>, order: &Order<'_>) {
    desk.page("Hazards");
    let material = order.part.material.group;
    desk.heading(&format!("This material: {}", order.part.material.title), 20.0);
    for text in of_material(material) {
        desk.point(Some("–"), text, CLEAR);
    }
    desk.heading("Saw", 20.0);
    for text in [
        "The bar held down on both sides of the cut; at least three teeth in the work. Short offcuts are held with a stop block, never by hand.",
        "Fresh ends are sharp and hot: gloves to carry, none near the blade.",
    ] {
        desk.point(Some("–"), text, CLEAR);
    }
    desk.heading("Mill", 20.0);
    for text in [
        "The emergency stop is tried every day. Power off at the switch before hands go to the spindle, where the machine has no safe operating stop.",
        "Chips are sharp: hook or brush, never by hand, rag or air toward people, never with the spindle turning.",
        "Never leave the first run alone. The drill may come through into a parallel: look at the picture, look under the piece.",
        "Know where the fire extinguisher is.",
    ] {
        desk.point(Some("–"), text, CLEAR);
    }
    desk.heading("Bench", 20.0);
    // 29 CFR 1910.242(b): compressed air for cleaning below 30 psi, with guarding and protection.
    let air = format!("Compressed air below {AIR} only, into a shield, eyes covered, nobody opposite.");
    desk.point(Some("–"), &air, CLEAR);
    for text in [
        "Cutting fluid and cleaner dry the skin and make floors slip: wipe up, wash hands.",
        "Many equal pieces tire hand and eye: a stool, good light, a break.",
    ] {
        desk.point(Some("–"), text, CLEAR);
    }
    desk.gap(2.0);
    desk.text("Strengths and torques in these papers are estimates for fixtures and furniture; what carries people or loads overhead needs a licensed engineer. The machine's manual, local codes and a qualified person come first.", CLEAR);
}

const fn of_material(group: Group) -> &'static [&'static str] {
    match group {
        Group::Brass => &[
            "Sharp drills grab: they pull themselves in, lift the piece and spin it where they come out. Lips dubbed, piece clamped well, feed eased at the end.",
            "Chips are needles and fly far: a face shield, a tray; no air toward people.",
            // 29 CFR 1910.1025 on lead.
            "Free-cutting brass holds lead: no food near it, wipe damp instead of sweeping dry, wash hands. Its chips are kept apart; they are worth money.",
        ],
        Group::Aluminium => &[
            "Chips weld to dry edges and break small cutters: a drop of fluid, chips blown out of holes before the thread mill.",
            "Fine dust burns and water makes it worse: no grinding with steel's wheel; a fire of chips is covered with dry sand or an extinguisher for metals.",
            "Never mix its chips with steel's in the wash.",
        ],
        Group::Steel => &[
            "Chips come off hot and blue: sleeves closed, a shield; let pieces cool before they are measured.",
            "Freshly cut steel rusts from hands and from water: oil it the same day.",
        ],
        Group::Stainless => &[
            "It hardens where an edge rubs: never dwell, never stop in the cut; a dull tool is a broken one.",
            "Chips are hot, long and tough: break them with pauses, pull them with a hook.",
        ],
        Group::CastIron => &[
            "Its dust is fine and abrasive: no air, a vacuum cleaner, the ways covered, a mask.",
            "It breaks without a warning: clamp lightly and where it is supported.",
        ],
        Group::Plastic => &[
            "Stringy chips wind round the spindle: stop, then take them off. Dull tools melt and may set them alight.",
            "It gives way under the jaws and springs back: close lightly, always the same.",
        ],
    }
}
