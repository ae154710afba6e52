//! Every key that a family file can hold: one table, from which the loader's own words, the JSON
//! Schema and the reference come.
//!
//! A key that the loader reads and that does not stand here, or the reverse, stops every test that
//! loads a family (see [`Fields::within`](crate::yaml::Fields::within)).

use super::cuts::SIDES;
use super::hardware::PER;
use super::load::{GENERAL, GENERAL_INCH, KINDS, LEVELS, UNITS};

/// What stands under a key.
#[derive(Clone, Copy, Debug)]
pub(super) enum Takes {
    /// Words, as they are printed.
    Text,
    /// A sentence with formulas in braces.
    Sentence,
    /// A list of sentences.
    Sentences,
    /// A formula that comes to this.
    Formula(&'static str),
    /// An answer, as a person would type it.
    Answer,
    /// A list of answers.
    Answers,
    /// Yes or no.
    YesNo,
    /// One of these words.
    OneOf(fn() -> Vec<&'static str>),
    /// The name of a size of kind fit.
    Name,
    /// A list of two formulas.
    Pair(&'static str),
    /// A list of pairs.
    Pairs(&'static str),
    /// A table of its own.
    Table(&'static Table),
    /// A list of tables.
    Tables(&'static Table),
    /// Names of one's own, joined by this sign, each with a table.
    Named(&'static Table, char),
    /// Names of one's own, each with a table or a formula alone.
    NamedOrFormula(&'static Table),
    /// Sizes by their names, each with an answer.
    Sizes,
    /// A list of cuts.
    Cuts,
}

/// A key.
#[derive(Debug)]
pub(super) struct Key {
    pub(super) name: &'static str,
    pub(super) need: bool,
    pub(super) takes: Takes,
    pub(super) about: &'static str,
}

/// What a map can hold.
#[derive(Debug)]
pub(super) struct Table {
    pub(super) name: &'static str,
    pub(super) about: &'static str,
    pub(super) keys: &'static [Key],
}

const fn need(name: &'static str, takes: Takes, about: &'static str) -> Key {
    Key { name, need: true, takes, about }
}

const fn may(name: &'static str, takes: Takes, about: &'static str) -> Key {
    Key { name, need: false, takes, about }
}

fn words<T>(choices: &'static [(&'static str, T)]) -> Vec<&'static str> {
    choices.iter().map(|(word, _)| *word).collect()
}

const LENGTH: Takes = Takes::Formula("a length");
const COUNT: Takes = Takes::Formula("a whole number");

/// The whole file.
pub(super) const FAMILY: Table = Table {
    name: "family",
    about: "A family of parts: what a person measures or chooses, what follows from it, what must be so, and what is made.",
    keys: &[
        need("family", Takes::Text, "Its short name: small letters, digits and `-`."),
        need("title", Takes::Text, "Its name on drawings and papers."),
        may("about", Takes::Text, "What it is for, in a sentence or two."),
        need("number", Takes::Sentence, "The part number of a variant; blanks are left out of it."),
        may("sizes", Takes::Named(&SIZE, '_'), "What a person measures or chooses, in the order of asking."),
        may("follows", Takes::NamedOrFormula(&VALUE), "What follows from the sizes; the order does not matter."),
        may("rules", Takes::Named(&RULE, '-'), "What must be so for the part to be good."),
        need("shape", Takes::Table(&SHAPE), "What is made."),
        may("hardware", Takes::Tables(&HARDWARE), "What goes with the part into its bag: screws, keys."),
        may("examples", Takes::Named(&EXAMPLE, '-'), "Sets of sizes that are known to work, for `--like`."),
    ],
};

/// An entry of `sizes`.
pub(super) const SIZE: Table = Table {
    name: "size",
    about: "Something that a person measures or chooses.",
    keys: &[
        need("is", Takes::OneOf(|| words(KINDS)), "What kind of answer it takes."),
        need("ask", Takes::Text, "The question that it answers, as it is put to a person."),
        may("help", Takes::Text, "More about it: where and with what it is measured."),
        need("usual", Takes::Answer, "The usual answer; of a number, any formula."),
        may("usual_inch", Takes::Answer, "The usual answer of someone who works in inches, where it differs."),
        may("from", Takes::Formula("a value of the size's kind"), "The smallest that can be made."),
        may("to", Takes::Formula("a value of the size's kind"), "The largest that can be made."),
        may(
            "step",
            Takes::Formula("a value of the size's kind"),
            "The step in which nearest sizes that work are looked for, no finer than a drawing shows.",
        ),
        may("one_of", Takes::Answers, "The only answers, where they are few."),
        may(
            "measured",
            Takes::YesNo,
            "Whether it is read off something that is there already: where sizes are refused, another value is the last thing offered, and only if it measures so.",
        ),
    ],
};

/// An entry of `follows`.
pub(super) const VALUE: Table = Table {
    name: "value",
    about: "A value that follows from others. A bare formula stands for one with `as` alone.",
    keys: &[
        need("as", Takes::Formula("anything"), "How it comes about."),
        may("title", Takes::Text, "In plain words, for people who read it; without one it is for the file alone."),
        may("down_to", LENGTH, "It is brought down to a whole step of this."),
        may("to_nearest", LENGTH, "It is brought to the nearest whole step of this."),
        may("up_to", LENGTH, "It is brought up to a whole step of this."),
        may("upper", LENGTH, "Its upper limit, counted from the value; goes with `lower`."),
        may("lower", LENGTH, "Its lower limit, counted from the value; goes with `upper`."),
        may("fit", Takes::Name, "The size of kind fit that the limits come from, for the drawing."),
        may("why", Takes::Text, "Why it is so."),
        may(
            "source",
            Takes::Text,
            "Where the formula comes from: a standard, a handbook, `common practice, no source`.",
        ),
    ],
};

/// An entry of `rules`.
pub(super) const RULE: Table = Table {
    name: "rule",
    about: "Something that must be so.",
    keys: &[
        need("must", Takes::Formula("yes or no"), "What must be so: a comparison."),
        need("else", Takes::OneOf(|| words(LEVELS)), "What it means when it is not so."),
        need("say", Takes::Sentence, "The sentence that says so, with the numbers in braces."),
        need("source", Takes::Text, "Where the rule comes from."),
    ],
};

/// `shape`.
pub(super) const SHAPE: Table = Table {
    name: "shape",
    about: "What is made: a length of bar, and what is cut into it.",
    keys: &[
        need("bar", Takes::Formula("a bar"), "The bar that it is made from, such as `rack.largest(…)`."),
        need("material", Takes::Formula("a material"), "Its material."),
        need("length", LENGTH, "Its length over all."),
        may("ends", Takes::Table(&ENDS), "Ends that are sawn long and milled; without it they stay as sawn."),
        need("general", Takes::OneOf(|| words(GENERAL)), "General tolerances of sizes without limits of their own."),
        may(
            "general_inch",
            Takes::OneOf(|| words(GENERAL_INCH)),
            "General tolerances of a drawing in inches, where they differ.",
        ),
        may("edge_break", Takes::Pair("a length"), "The least and the most by which edges are broken."),
        may("finish", Takes::Text, "Finish, in words."),
        may("notes", Takes::Sentences, "Notes on the drawing."),
        may(
            "cut",
            Takes::Cuts,
            "What is cut into it. No cut may leave the bar, and no two may meet, on a face or inside the part.",
        ),
    ],
};

/// `ends` of the shape.
pub(super) const ENDS: Table = Table {
    name: "ends",
    about: "Ends that are sawn long and milled to length.",
    keys: &[
        need("allowance", LENGTH, "How much too long each end is sawn."),
        may("corner", LENGTH, "Radius of the upright corners."),
    ],
};

const NAME: Key = need("name", Takes::Text, "Its name: what the drawing's dimensions are called by.");
const TITLE: Key = need("title", Takes::Text, "In plain words.");
const WHEN: Key = may("when", Takes::Formula("yes or no"), "It is cut only where this holds.");
const MIDDLE: Key = may(
    "middle",
    Takes::Pair("a length"),
    "Its middle, along (plus to the right) and across (plus to the back), counted from the middle of the face; on an end across and up.",
);
const PLACE_TOLERANCE: Key = need("place_tolerance", LENGTH, "How far it may be off its place.");

/// A tongue.
pub(super) const TONGUE: Table = Table {
    name: "tongue",
    about: "A tongue along the middle of the bar, between two rabbets.",
    keys: &[
        NAME,
        TITLE,
        WHEN,
        need("width", LENGTH, "Between its sides."),
        need("height", LENGTH, "From its foot to the upper face."),
        need("centring", LENGTH, "How far off the middle it may be."),
    ],
};

/// Holes.
pub(super) const HOLES: Table = Table {
    name: "holes",
    about: "Equal holes: in a row (`count`, `pitch`), in a grid (`columns`, `rows`, `pitch`, `row_pitch`), or at single places (`at`); tapped, reamed or plain; through or blind.",
    keys: &[
        NAME,
        TITLE,
        WHEN,
        may(
            "from",
            Takes::OneOf(|| words(SIDES)),
            "The face that they are drilled from; the top where nothing is said.",
        ),
        may(
            "at",
            Takes::Pairs("a length"),
            "Single places, along (plus to the right) and across (plus to the back), counted from the middle of the face; on an end across and up.",
        ),
        may("count", COUNT, "How many in a row along the bar, symmetric about its middle."),
        may("columns", COUNT, "How many along the bar, in a grid."),
        may("pitch", LENGTH, "From one to the next along the bar."),
        may("rows", COUNT, "How many across, in a grid."),
        may("row_pitch", LENGTH, "From row to row, in a grid."),
        may("omit", Takes::Formula("a list of places"), "Places of the grid without a hole."),
        MIDDLE,
        may("tapped", Takes::Formula("a thread"), "The thread, of tapped holes."),
        may("left_hand", Takes::Formula("yes or no"), "Whether the thread is left-handed."),
        may("thread_depth", LENGTH, "How deep the full thread reaches, in a blind hole; goes with `depth`."),
        may("diameter", LENGTH, "The diameter, of plain holes."),
        may("reamed", LENGTH, "The diameter, of reamed holes."),
        may("depth", LENGTH, "How deep at full diameter; through where nothing is said."),
        may("chamfer", LENGTH, "Diameter of the chamfer at the entry; none at 0 mm."),
        may("counterbore", Takes::Table(&COUNTERBORE), "A flat-bottomed recess for a screw's head."),
        may("countersink", Takes::Table(&COUNTERSINK), "A cone for a screw's head."),
        PLACE_TOLERANCE,
    ],
};

/// A counterbore.
pub(super) const COUNTERBORE: Table = Table {
    name: "counterbore",
    about: "A flat-bottomed recess for a screw's head.",
    keys: &[need("diameter", LENGTH, "Its diameter."), need("depth", LENGTH, "Its depth.")],
};

/// A countersink.
pub(super) const COUNTERSINK: Table = Table {
    name: "countersink",
    about: "A cone for a screw's head.",
    keys: &[
        need("diameter", LENGTH, "Its diameter at the face."),
        need("angle", Takes::Formula("an angle"), "Its included angle, 60° to 120°."),
    ],
};

/// A slot.
pub(super) const SLOT: Table = Table {
    name: "slot",
    about: "A slot with round ends, or a groove from end to end.",
    keys: &[
        NAME,
        TITLE,
        WHEN,
        need("width", LENGTH, "Between its walls."),
        may("length", LENGTH, "Over all; a groove from end to end where nothing is said."),
        may("depth", LENGTH, "How deep; through where nothing is said."),
        MIDDLE,
        PLACE_TOLERANCE,
    ],
};

/// An entry of `hardware`.
pub(super) const HARDWARE: Table = Table {
    name: "hardware",
    about: "Something that goes with the part into its bag.",
    keys: &[
        need("item", Takes::Sentence, "What, with its sizes."),
        need("count", COUNT, "How many."),
        may(
            "per",
            Takes::OneOf(|| words(PER)),
            "Whether the count is for each piece, as where nothing is said, or for the order.",
        ),
        may("key", Takes::Sentence, "The key or wrench that turns it."),
        may("torque", Takes::Formula("a torque"), "How tight it is turned."),
    ],
};

/// An entry of `examples`.
pub(super) const EXAMPLE: Table = Table {
    name: "example",
    about: "A set of sizes that is known to work.",
    keys: &[
        need("title", Takes::Text, "In plain words."),
        may("unit", Takes::OneOf(|| words(UNITS)), "The unit of its bare numbers and of its drawing."),
        may("sizes", Takes::Sizes, "Its sizes, as they would be typed; the others are as usual."),
    ],
};

/// What can be cut: the name under `cut`, in words, and what it takes.
pub(super) const CUTS: &[(&str, &str, &Table)] =
    &[("tongue", "the tongue", &TONGUE), ("holes", "the holes", &HOLES), ("slot", "the slot", &SLOT)];

/// Every table, in the order of the reference.
pub(super) const TABLES: &[&Table] = &[
    &FAMILY,
    &SIZE,
    &VALUE,
    &RULE,
    &SHAPE,
    &ENDS,
    &TONGUE,
    &HOLES,
    &COUNTERBORE,
    &COUNTERSINK,
    &SLOT,
    &HARDWARE,
    &EXAMPLE,
];

impl Table {
    /// Its keys, and whether each must be there.
    pub(super) fn known(&self) -> Vec<(&'static str, bool)> {
        self.keys.iter().map(|key| (key.name, key.need)).collect()
    }
}
