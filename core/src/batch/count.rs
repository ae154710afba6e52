//! How many are asked for.

use serde::{Deserialize, Serialize};

use crate::diag::Diagnostic;
use crate::quantity::fixed;

/// The most pieces of one order, spares included; above it a bench mill is the wrong machine.
pub const MOST: u32 = 10_000;

/// How many are ordered, and how many are made beyond that.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Count {
    /// Good pieces that go into the bag.
    pub ordered: u32,
    /// Pieces beyond those, for setting up and for mishaps.
    pub spares: u32,
}

impl Count {
    /// Reads what was asked for.
    ///
    /// # Errors
    /// What is no whole number, an order of nothing, or of more than [`MOST`].
    pub fn read(ordered: &str, spares: &str) -> Result<Self, Diagnostic> {
        let ordered = whole("quantity", ordered)?;
        if ordered == 0 {
            let headline = "A quantity of 0 makes nothing.";
            return Err(Diagnostic::refused("batch/quantity", headline).help("The least is quantity=1."));
        }
        let spares = if spares.trim().is_empty() { 0 } else { whole("spares", spares)? };
        let total = ordered.saturating_add(spares);
        if total > u64::from(MOST) {
            let headline = format!("{total} pieces are too many for one order; {MOST} is the most.");
            let orders = total.div_ceil(u64::from(MOST));
            let each = ordered.div_ceil(orders);
            return Err(Diagnostic::refused("batch/quantity", headline)
                .note("Each piece is cut, loaded and gauged by hand here.")
                .help(format!("{orders} orders of up to {each} come to the same.")));
        }
        let small = |number: u64| u32::try_from(number).unwrap_or(MOST);
        Ok(Self { ordered: small(ordered), spares: small(spares) })
    }

    /// All that are made.
    pub const fn total(self) -> u32 {
        self.ordered.saturating_add(self.spares)
    }

    /// The spares that are usual: two for setting up and three of a hundred. Common practice, no
    /// source.
    pub const fn usual_spares(ordered: u32) -> u32 {
        2 + (ordered.saturating_mul(3)).div_ceil(100)
    }
}

/// A whole number from nothing up; digits may be set apart by blanks or `_`.
fn whole(what: &str, text: &str) -> Result<u64, Diagnostic> {
    let digits: String = text.trim().chars().filter(|sign| !matches!(sign, ' ' | '_')).collect();
    let shown: String = text.chars().take(40).collect();
    let refused = || {
        Diagnostic::refused("batch/quantity", format!("{what}: `{}` is no number of pieces.", shown.escape_debug()))
            .help(format!("Write a whole number, such as {what}=50."))
    };
    if digits.is_empty() || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        // A number with a fraction is told with its neighbours.
        return Err(match digits.parse::<f64>() {
            Ok(value) if value.is_finite() && (0.0..1e6).contains(&value) => Diagnostic::refused(
                "batch/quantity",
                format!("{what}: {} is no whole number of pieces.", shown.escape_debug()),
            )
            .help(format!(
                "Write {} or {}.",
                fixed(value.floor().max(1.0), 0),
                fixed(value.ceil().max(1.0), 0)
            )),
            _ => refused(),
        });
    }
    // More digits than fit are too many pieces all the same.
    Ok(digits.parse().unwrap_or(u64::MAX / 2))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_asked_for_is_read() {
        let count = Count::read("50", "4").expect("an order");
        assert_eq!((count.ordered, count.spares, count.total()), (50, 4, 54), "as typed");
        assert_eq!(Count::read("1 000", "").expect("an order").total(), 1000, "digits set apart");
        assert_eq!(Count::usual_spares(50), 4, "two, and 1.5 of 50 made whole");
    }

    #[test]
    fn bad_quantities_are_refused_with_what_works() {
        for (ordered, spares, said, help) in [
            ("0", "", "makes nothing", "quantity=1"),
            ("1000000", "", "1000000 pieces", "100 orders of up to 10000"),
            ("9999", "2", "10001 pieces", "2 orders of up to 5000"),
            ("-3", "", "`-3` is no number", "quantity=50"),
            ("fifty", "", "`fifty` is no number", "quantity=50"),
            ("2.5", "", "2.5 is no whole number", "Write 2 or 3"),
            ("99999999999999999999999999", "", "too many", "orders"),
            ("", "", "is no number", "quantity=50"),
            ("5", "x", "spares: `x`", "spares=50"),
        ] {
            let finding = Count::read(ordered, spares).expect_err("refused");
            assert!(finding.headline.contains(said), "{ordered}: {}", finding.headline);
            assert!(finding.helps.join(" ").contains(help), "{ordered}: {:?}", finding.helps);
        }
    }
}
