//! Points, vectors, boxes, lines and arcs in the plane.
//!
//! In come coordinates as plain numbers; out go distances and meetings. What a coordinate means
//! (millimetres of a part, millimetres of paper) is the caller's. X points right, Y points up,
//! angles turn counter-clockwise from X. This room never knows a part, a drawing or a tool.

mod point;
mod rect;

pub use point::{Point, Vector};
pub use rect::Rect;
