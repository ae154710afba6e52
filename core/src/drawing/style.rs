//! The sizes of drafting, in one table; all in millimetres of paper.
//!
//! Line widths and dashes follow ISO 128-2 and ASME Y14.2, spaces ISO 129-1 and ASME Y14.5, both
//! from memory and from public drafting texts, not from a bought copy. Where the standards leave
//! room, the choice is ours and stands beside the number.

/// Height of a dimension's figures: read at arm's length beside the machine. ISO 3098 series.
pub(super) const FIGURE: f64 = 3.5;
/// Height of the figures of stacked deviations; nothing on a sheet is lower than this.
pub(super) const SMALL: f64 = 2.5;
/// Height of a note.
pub(super) const NOTE: f64 = 3.0;
/// Height of title and number.
pub(super) const LARGE: f64 = 5.0;

/// From the outline to the start of an extension line.
pub(super) const GAP: f64 = 1.5;
/// How far an extension line goes past its dimension line.
pub(super) const OVERSHOOT: f64 = 2.5;
/// From the outline to the first dimension line.
pub(super) const FIRST: f64 = 10.0;
/// Between dimension lines, at least.
pub(super) const STEP: f64 = 8.0;
/// Length of an arrow head; its width is a third.
pub(super) const ARROW: f64 = 3.0;
/// From a dimension line up to the text above it.
pub(super) const ABOVE: f64 = 1.2;
/// How far a centre line goes past the outline.
pub(super) const PAST: f64 = 3.0;
/// How far the arms of a cross go past their hole.
pub(super) const ARM: f64 = 2.0;
/// Pitch of hatching, across its lines.
pub(super) const HATCH: f64 = 2.5;
/// Length of the shoulder of a leader.
pub(super) const SHOULDER: f64 = 3.0;
/// White between a line and a text beside it.
pub(super) const CLEAR: f64 = 1.0;
/// Pitch of lines of text, in heights of a capital.
pub(super) const LEADING: f64 = 1.55;
/// Least white between two views.
pub(super) const BETWEEN: f64 = 16.0;

/// A number of lines, rows or columns as a factor of lengths.
#[allow(clippy::cast_precision_loss, reason = "what is counted on a sheet is far below 2^52")]
pub(super) const fn times(count: usize) -> f64 {
    count as f64
}
