//! What a family file says, resolved.

use std::collections::{BTreeMap, BTreeSet};

use super::cut::{Cut, EndsCut};
use crate::formula::{Expr, Kind, Template, names};
use crate::quantity::{Dim, Unit};
use crate::source::{Source, Span};

/// A family of parts.
#[derive(Clone, Debug)]
pub struct Family {
    /// The file that it was read from.
    pub source: Source,
    /// Its short name: `joining-key`.
    pub name: String,
    /// Its name on drawings and papers.
    pub title: String,
    /// What it is for, in a sentence or two.
    pub about: String,
    /// The part number of a variant.
    pub number: Sentence,
    /// What a person measures or chooses, in the order of asking.
    pub parameters: Vec<Parameter>,
    /// What comes of it, in an order in which each value needs only earlier ones.
    pub derived: Vec<Derived>,
    /// Parameters and derived values by name, in an order in which each needs only earlier ones.
    pub order: Vec<String>,
    /// What must be so.
    pub rules: Vec<Rule>,
    /// What is made.
    pub shape: Shape,
    /// What goes with a part.
    pub hardware: Vec<HardwareLine>,
    /// Named sets of sizes that are known to work.
    pub examples: Vec<Example>,
}

/// A line of hardware: what goes with a part.
#[derive(Clone, Debug)]
pub struct HardwareLine {
    /// What, with its sizes.
    pub item: Sentence,
    /// How many.
    pub count: Formula,
    /// Whether the count is for the whole order; else it is for each piece.
    pub for_order: bool,
    /// The key that turns it.
    pub key: Option<Sentence>,
    /// How tight.
    pub torque: Option<Formula>,
    /// Where it stands.
    pub span: Span,
}

/// The parameters that a formula rests on, from those of the values that it names.
pub fn rests_on<'f>(formula: &'f Formula, roots: &BTreeMap<&'f str, BTreeSet<&'f str>>) -> BTreeSet<&'f str> {
    names(&formula.expr).into_iter().filter_map(|name| roots.get(name)).flatten().copied().collect()
}

/// A formula with its text and place.
#[derive(Clone, Debug)]
pub struct Formula {
    /// As it is written.
    pub text: String,
    /// As it is understood.
    pub expr: Expr,
    /// Where the value stands in the family file.
    pub span: Span,
    /// The byte of the file at which the text begins, where the file holds it letter by letter.
    pub verbatim: Option<usize>,
}

/// A sentence with formulas in braces, and its place.
#[derive(Clone, Debug)]
pub struct Sentence {
    /// As it is understood.
    pub template: Template,
    /// Where it stands in the family file.
    pub span: Span,
    /// The byte of the file at which it begins, where the file holds it letter by letter.
    pub verbatim: Option<usize>,
}

/// Something that a person measures or chooses.
#[derive(Clone, Debug)]
pub struct Parameter {
    /// Its name.
    pub name: String,
    /// The question that it answers.
    pub ask: String,
    /// More about it, if there is more to say.
    pub help: Option<String>,
    /// What kind of answer it takes.
    pub kind: ParameterKind,
    /// The usual answer.
    pub usual: Ask,
    /// The usual answer of someone who works in inches, where it differs.
    pub usual_inch: Option<Ask>,
    /// The smallest value.
    pub from: Option<Formula>,
    /// The largest value.
    pub to: Option<Formula>,
    /// The step in which nearest values are looked for.
    pub step: Option<Formula>,
    /// The only answers, if they are few.
    pub one_of: Vec<Choice>,
    /// Whether it is measured on something that is there already; else it is chosen.
    pub measured: bool,
    /// Where it stands.
    pub span: Span,
}

/// A usual answer.
#[derive(Clone, Debug)]
pub enum Ask {
    /// A formula, for numbers with and without units.
    Formula(Formula),
    /// A text, for everything else: `M5`, `brass-c36000`.
    Text(String),
}

/// One of few answers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// As it is typed.
    pub text: String,
}

/// What kind of answer a parameter takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ParameterKind {
    /// A number with this dimension.
    Quantity(Dim),
    /// A whole number from zero up.
    Count,
    /// A screw thread.
    Thread,
    /// A material.
    Material,
    /// A fit.
    Fit,
    /// One of the words in `one_of`.
    Word,
    /// Yes or no.
    Truth,
    /// Places of a grid.
    Places,
}

impl ParameterKind {
    /// The kind of its values in formulas.
    pub const fn kind(self) -> Kind {
        match self {
            Self::Quantity(dim) => Kind::Quantity(dim),
            Self::Count => Kind::NUMBER,
            Self::Thread => Kind::Thread,
            Self::Material => Kind::Material,
            Self::Fit => Kind::Fit,
            Self::Word => Kind::Word,
            Self::Truth => Kind::Truth,
            Self::Places => Kind::Places,
        }
    }

    /// Its word in a family file.
    pub fn word(self) -> &'static str {
        match self {
            Self::Quantity(dim) => dim.name().unwrap_or("quantity"),
            Self::Count => "count",
            Self::Thread => "thread",
            Self::Material => "material",
            Self::Fit => "fit",
            Self::Word => "word",
            Self::Truth => "yes or no",
            Self::Places => "places",
        }
    }
}

/// Something that comes of other values.
#[derive(Clone, Debug)]
pub struct Derived {
    /// Its name.
    pub name: String,
    /// In plain words; the name with blanks where the file gives none.
    pub title: String,
    /// How it comes about.
    pub formula: Formula,
    /// Its kind.
    pub kind: Kind,
    /// The increment that it is brought to.
    pub snap: Option<(Snap, Formula)>,
    /// Its limit deviations, upper and lower, where it carries its own.
    pub limits: Option<Limits>,
    /// Why it is so.
    pub why: Option<String>,
    /// Where the formula comes from.
    pub source: Option<String>,
    /// Where it stands.
    pub span: Span,
}

/// Limit deviations by formula.
#[derive(Clone, Debug)]
pub struct Limits {
    /// Upper.
    pub upper: Formula,
    /// Lower.
    pub lower: Formula,
    /// The parameter or value of kind fit that they come from, for the drawing.
    pub fit: Option<String>,
}

/// Which way a value is brought to an increment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Snap {
    /// Down.
    Down,
    /// To the nearest.
    Nearest,
    /// Up.
    Up,
}

/// What must be so.
#[derive(Clone, Debug)]
pub struct Rule {
    /// Its short name.
    pub name: String,
    /// What must be so.
    pub must: Formula,
    /// What it means when it is not so.
    pub level: Level,
    /// The sentence that says so, with the numbers.
    pub say: Sentence,
    /// Where the rule comes from.
    pub source: String,
    /// Where it stands.
    pub span: Span,
}

/// What a broken rule means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Worth a second look.
    Caution,
    /// The part would be bad.
    Refused,
}

impl Level {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Caution => "caution",
            Self::Refused => "refused",
        }
    }
}

/// General tolerances by the number of decimals, as they stand on a drawing in inches: common
/// practice of inch shops, no source.
pub const BY_DECIMALS: &str = ".XX ±.01  .XXX ±.005";

/// What is made.
#[derive(Clone, Debug)]
pub struct Shape {
    /// The bar that it is made from.
    pub bar: Formula,
    /// The material.
    pub material: Formula,
    /// Its length.
    pub length: Formula,
    /// How its ends are made, where they are milled.
    pub ends: Option<EndsCut>,
    /// What is cut into it.
    pub cuts: Vec<Cut>,
    /// General tolerances of a drawing in millimetres: a class of ISO 2768-1.
    pub general: String,
    /// General tolerances of a drawing in inches: [`BY_DECIMALS`], or the same class.
    pub general_inch: String,
    /// Least and most break of its edges.
    pub edge_break: Option<(Formula, Formula)>,
    /// Finish, in words.
    pub finish: String,
    /// Notes for the drawing.
    pub notes: Vec<Sentence>,
}

/// A named set of sizes that is known to work.
#[derive(Clone, Debug)]
pub struct Example {
    /// Its name.
    pub name: String,
    /// In plain words.
    pub title: String,
    /// The unit of its bare numbers and of its drawing.
    pub unit: Option<Unit>,
    /// Its sizes, as they are typed, with their places.
    pub sizes: Vec<(String, String, Span)>,
}

impl Family {
    /// The parameter of this name.
    pub fn parameter(&self, name: &str) -> Option<&Parameter> {
        self.parameters.iter().find(|parameter| parameter.name == name)
    }

    /// The parameters that each value rests on, itself among them for a parameter.
    pub fn roots(&self) -> BTreeMap<&str, BTreeSet<&str>> {
        let mut roots: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        for name in &self.order {
            let mut found = BTreeSet::new();
            let mut formulas: Vec<&Formula> = Vec::new();
            if let Some(parameter) = self.parameter(name) {
                found.insert(name.as_str());
                for ask in [Some(&parameter.usual), parameter.usual_inch.as_ref()].into_iter().flatten() {
                    if let Ask::Formula(formula) = ask {
                        formulas.push(formula);
                    }
                }
            } else if let Some(derived) = self.derived(name) {
                formulas.push(&derived.formula);
                formulas.extend(derived.snap.iter().map(|(_, step)| step));
                formulas.extend(derived.limits.iter().flat_map(|limits| [&limits.upper, &limits.lower]));
            }
            for formula in formulas {
                found.extend(rests_on(formula, &roots));
            }
            roots.insert(name, found);
        }
        roots
    }

    /// The derived value of this name.
    pub fn derived(&self, name: &str) -> Option<&Derived> {
        self.derived.iter().find(|derived| derived.name == name)
    }

    /// The example of this name.
    pub fn example(&self, name: &str) -> Option<&Example> {
        self.examples.iter().find(|example| example.name == name)
    }
}
