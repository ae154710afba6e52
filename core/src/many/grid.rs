//! A grid of variants: some sizes, each at some values.

use crate::diag::{Diagnostic, nearest};
use crate::family::{Family, ParameterKind};
use crate::formula::{Kind, Value};
use crate::quantity::{Dim, Quantity, Unit, fixed, read_as};
use crate::variant::Inputs;

/// The most variants of one grid.
pub const MOST: usize = 100_000;

/// A size and the values that it takes, as they would be typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Vary {
    /// The name of the parameter.
    pub name: String,
    /// Its values.
    pub values: Vec<String>,
}

/// Reads `name=from..to/step` or `name=a,b,c`; bare numbers are in `unit`.
///
/// # Errors
/// What is wrong with it, and what would be right.
pub fn vary(text: &str, family: &Family, unit: Option<Unit>) -> Result<Vary, Diagnostic> {
    let refuse = |what: String, help: String| Diagnostic::refused("many/vary", what).help(help);
    let usual = "Write NAME=FROM..TO/STEP, such as length=20mm..60mm/5mm, or NAME=A,B,C.";
    let Some((name, values)) = text.split_once('=') else {
        return Err(refuse(format!("`{}` varies nothing.", text.escape_debug()), usual.to_owned()));
    };
    let name = name.trim().replace('-', "_");
    let Some(parameter) = family.parameter(&name) else {
        let known: Vec<&str> = family.parameters.iter().map(|parameter| parameter.name.as_str()).collect();
        let help = match nearest(&name, known.iter().copied()) {
            Some(near) => format!("Did you mean `{near}`?"),
            None => format!("Sizes of {}: {}.", family.name, known.join(", ")),
        };
        return Err(refuse(format!("{} has no size `{}`.", family.name, name.escape_debug()), help));
    };
    let values = match (values.split_once(".."), parameter.kind.kind()) {
        (Some((from, rest)), Kind::Quantity(dim)) => {
            range(from, rest, dim, parameter.kind == ParameterKind::Count, unit).map_err(|(what, help)| {
                refuse(format!("{name}: {what}"), if help.is_empty() { usual.to_owned() } else { help })
            })?
        }
        _ => values.split(',').map(|value| value.trim().to_owned()).filter(|value| !value.is_empty()).collect(),
    };
    if values.is_empty() {
        return Err(refuse(format!("{name}: there are no values."), usual.to_owned()));
    }
    for value in &values {
        Value::read(parameter.kind.kind(), value, unit)
            .map_err(|error| refuse(format!("{name}: {}", error.what), error.help))?;
    }
    Ok(Vary { name, values })
}

/// The values of `from..to/step`, as they would be typed; an error is what is wrong, and what
/// would be right.
fn range(from: &str, rest: &str, dim: Dim, whole: bool, unit: Option<Unit>) -> Result<Vec<String>, (String, String)> {
    // A unit that stands once is meant for all three: `20..60mm/5`.
    let said = format!("{from}{rest}");
    let meant = match (said.contains("mm"), said.contains("in") || said.contains('"')) {
        (true, false) => Some(Unit::Mm),
        (false, true) => Some(Unit::Inch),
        _ => None,
    };
    let read = |text: &str| read_as(text, dim, unit.or(meant));
    let told = |error: crate::quantity::ReadError| (error.what, error.help);
    let low = read(from).map_err(told)?;
    // A slash can be a fraction's too: the first that leaves a value on both sides parts the step.
    let parted = rest.match_indices('/').find_map(|(at, _)| {
        let (to, step) = (rest.get(..at)?, rest.get(at + 1..)?);
        Some((read(to).ok()?, read(step).ok()?))
    });
    let (high, step) = match parted {
        Some(both) => both,
        None if whole => (read(rest).map_err(told)?, Quantity::number(1.0)),
        None => {
            read(rest.split('/').next().unwrap_or(rest)).map_err(told)?;
            return Err(("the step is missing, or is no value.".to_owned(), String::new()));
        }
    };
    if step.value <= 0.0 {
        return Err(("the step must be above nothing.".to_owned(), String::new()));
    }
    if high.value < low.value {
        return Err(("it ends before it begins.".to_owned(), "Write the smaller value first.".to_owned()));
    }
    let steps = ((high.value - low.value) / step.value + 1e-6).floor();
    if steps >= MOST as f64 {
        return Err(too_many(steps + 1.0));
    }
    let shown = unit.or(meant).unwrap_or_else(|| if said.contains("in") { Unit::Inch } else { Unit::Mm });
    let values = (0..MOST).take_while(|at| *at as f64 <= steps);
    Ok(values.map(|at| Quantity::new(low.value + step.value * at as f64, dim).typed(shown)).collect())
}

fn too_many(count: f64) -> (String, String) {
    (
        format!("{} variants are more than the {MOST} that one table holds.", fixed(count, 0)),
        "Take longer steps, or vary fewer sizes at once.".to_owned(),
    )
}

/// Every variant of some sizes, the last of them changing fastest.
#[derive(Clone, Debug)]
pub struct Grid {
    base: Inputs,
    varies: Vec<Vary>,
    count: usize,
}

impl Grid {
    /// All combinations, on top of what is given for every one of them.
    ///
    /// # Errors
    /// A size that is varied twice or given too; more than [`MOST`] variants.
    pub fn new(base: Inputs, varies: Vec<Vary>) -> Result<Self, Diagnostic> {
        for (at, vary) in varies.iter().enumerate() {
            let again = varies.iter().take(at).any(|other| other.name == vary.name);
            if again || base.given.contains_key(&vary.name) {
                let what = format!("`{}` is set twice.", vary.name);
                return Err(Diagnostic::refused("many/twice", what).help("Vary it once, or give it once."));
            }
        }
        let count = varies.iter().fold(1.0, |count, vary| count * vary.values.len() as f64);
        if count > MOST as f64 {
            let (what, help) = too_many(count);
            return Err(Diagnostic::refused("many/too-many", what).help(help));
        }
        let count = varies.iter().map(|vary| vary.values.len()).product();
        Ok(Self { base, varies, count })
    }

    /// How many variants there are.
    pub const fn count(&self) -> usize {
        self.count
    }

    /// The names of the sizes that vary, in order.
    pub fn names(&self) -> Vec<&str> {
        self.varies.iter().map(|vary| vary.name.as_str()).collect()
    }

    /// The sizes of one variant, counted from nought.
    pub fn inputs(&self, at: usize) -> Inputs {
        let mut inputs = self.base.clone();
        let mut rest = at;
        for vary in self.varies.iter().rev() {
            let count = vary.values.len().max(1);
            if let Some(value) = vary.values.get(rest % count) {
                inputs.given.insert(vary.name.clone(), value.clone());
            }
            rest /= count;
        }
        inputs
    }
}
