//! From one piece to an order.
mod fill;
mod pattern;
mod relax;
