//! Which formulas a shape is made of.

use super::{Cut, EndsCut, Formula, Shape};

impl Shape {
    /// Every formula of the shape, cuts included; the sentences of its notes are not among them.
    ///
    /// It is taken to pieces by name, so that the compiler asks about a new one.
    pub fn formulas(&self) -> Vec<&Formula> {
        let Self { bar, material, length, ends, cuts, general: _, general_inch: _, edge_break, finish: _, notes: _ } =
            self;
        let mut found = vec![bar, material, length];
        if let Some(EndsCut { allowance, corner }) = ends {
            found.push(allowance);
            found.extend(corner);
        }
        found.extend(edge_break.iter().flat_map(|(least, most)| [least, most]));
        found.extend(cuts.iter().flat_map(Cut::formulas).map(|(formula, _)| formula));
        found
    }
}
