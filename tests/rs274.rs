//! The proof's reading of RS-274/NGC against the rules of NISTIR 6556, and the proof of whole
//! programs; each test of a rule bears the number of its section.

#[path = "facts/rs274/bench.rs"]
mod bench;
#[path = "facts/rs274/bends.rs"]
mod bends;
#[path = "facts/rs274/block.rs"]
mod block;
#[path = "facts/rs274/breaches.rs"]
mod breaches;
#[path = "facts/rs274/causes.rs"]
mod causes;
#[path = "facts/rs274/cycles.rs"]
mod cycles;
#[path = "facts/rs274/harm.rs"]
mod harm;
#[path = "facts/rs274/key.rs"]
mod key;
#[path = "facts/rs274/made.rs"]
mod made;
#[path = "facts/rs274/mutants.rs"]
mod mutants;
#[path = "facts/rs274/rules.rs"]
mod rules;
#[path = "facts/rs274/slips.rs"]
mod slips;
#[path = "facts/rs274/speed.rs"]
mod speed;
#[path = "facts/rs274/strangers.rs"]
mod strangers;
#[path = "facts/rs274/told.rs"]
mod told;
#[path = "facts/rs274/words.rs"]
mod words;
