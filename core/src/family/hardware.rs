//! The lines of `hardware`: what goes with a part into its bag.
//!
//! ```yaml
//! hardware:
//!   - item: "Set screw {screw} × {screw_length}, cup point"   # a sentence
//!     count: 2 * screws                                       # a formula, for each piece
//!     key: "{screw.set_screw.key_name}"                            # left out: nothing turns it
//!     torque: torque                                          # left out: it is not tightened
//!   - item: "Hexagon key {screw.set_screw.key_name}"
//!     count: 1
//!     per: order                                              # piece, if nothing is said
//! ```

use super::HardwareLine;
use super::keys::HARDWARE;
use super::load::{Loader, MOST};
use crate::yaml::{Fields, Node};

pub(super) const PER: &[(&str, bool)] = &[("piece", false), ("order", true)];

impl<'s> Loader<'s> {
    /// Reads the list, where the family has one.
    pub(super) fn hardware(&self, top: &mut Fields<'s>) -> Vec<HardwareLine> {
        let nodes = top.list("hardware");
        if nodes.len() > MOST {
            let headline = format!("`hardware` holds at most {MOST} entries.");
            self.refuse("family/too-many", &headline, top.key_span("hardware"), &format!("{} here", nodes.len()));
            return Vec::new();
        }
        nodes.iter().filter_map(|node| self.hardware_line(node)).collect()
    }

    fn hardware_line(&self, node: &'s Node) -> Option<HardwareLine> {
        let mut fields = self.fields(node, "the line of hardware", &HARDWARE);
        let item = fields.need("item").and_then(|node| self.sentence(node));
        let count = self.needed(&mut fields, "count");
        let for_order = fields.choice("per", PER).unwrap_or(false);
        let key = fields.node("key").and_then(|node| self.sentence(node));
        let torque = self.optional(&mut fields, "torque");
        fields.finish();
        Some(HardwareLine { item: item?, count: count?, for_order, key, torque, span: node.span })
    }
}
