//! Which formulas a shape is made of.

use super::{Cut, Formula, HolesCut, Shape, TongueCut};

impl Shape {
    /// Every formula of the shape, cuts included; the sentences of its notes are not among them.
    ///
    /// Each part is taken to pieces by name, so that the compiler asks about a new one.
    pub fn formulas(&self) -> Vec<&Formula> {
        let Self { bar, material, length, cuts, general: _, general_inch: _, edge_break, finish: _, notes: _ } = self;
        let mut found = vec![bar, material, length];
        found.extend(edge_break.iter().flat_map(|(least, most)| [least, most]));
        for cut in cuts {
            match cut {
                Cut::Tongue(tongue) => {
                    let TongueCut { name: _, title: _, width, height, centring, span: _ } = &**tongue;
                    found.extend([width, height, centring]);
                }
                Cut::Holes(holes) => {
                    let HolesCut {
                        name: _,
                        title: _,
                        count,
                        pitch,
                        tapped,
                        left_hand,
                        diameter,
                        chamfer,
                        place_tolerance,
                        span: _,
                    } = &**holes;
                    found.extend([count, pitch, place_tolerance]);
                    found.extend([tapped, left_hand, diameter, chamfer].into_iter().flatten());
                }
            }
        }
        found
    }
}
