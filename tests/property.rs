//! Laws that hold for every key, whatever its sizes: sizes are rolled, the same on every run.

use barwright_core::diag::Severity;
use barwright_core::part::{Kind, Part, Size};
use barwright_core::quantity::Length;
use barwright_core::record::{Record, digest};
use barwright_core::variant::{self, Inputs, Variant};
use barwright_tests::dice::Dice;
use barwright_tests::{demo_shop, key, make, promising};

/// Whether this is the quick run without optimisation; the full run is `cargo test --release`.
const QUICK: bool = cfg!(debug_assertions);

/// So many keys of likely sizes, and so many of any.
const KEYS: usize = if QUICK { 500 } else { 4000 };

/// So many of those that are refused are searched for remedies: each is thousands of derivations.
const SEARCHED: usize = if QUICK { 1 } else { 30 };

/// A verdict must be whole: a part, or a reason and what would work.
fn sound(variant: &Variant, inputs: &Inputs) {
    let refused: Vec<_> = variant.findings.iter().filter(|finding| finding.severity == Severity::Refused).collect();
    if variant.part.is_some() {
        assert!(refused.is_empty(), "{inputs:?} gives a part and is refused: {refused:#?}");
        assert!(variant.remedies.is_empty(), "{inputs:?} is good and has remedies");
        return;
    }
    assert!(!refused.is_empty(), "{inputs:?} gives no part and no reason");
    for finding in &refused {
        assert!(finding.headline.ends_with(['.', '?']), "no sentence: {}", finding.headline);
    }
    let told = refused.iter().any(|finding| {
        matches!(finding.code, "variant/remedy" | "variant/no-single-remedy" | "variant/value")
            && !finding.helps.is_empty()
    });
    assert!(told, "{inputs:?} is refused without a word of what would work: {refused:#?}");
    let listed = variant.findings.iter().filter(|finding| finding.code == "variant/remedy").flat_map(|f| &f.helps);
    assert_eq!(listed.count(), variant.remedies.len(), "{inputs:?}: each remedy is told once");
}

/// Whether a length is a whole number of what the drawing can print: 0.001 mm, 0.0001 in.
fn printable(length: Length, part: &Part) -> bool {
    let steps = part.unit.of(length) * 10_f64.powi(i32::try_from(part.unit.decimals()).unwrap_or(3));
    (steps - steps.round()).abs() < 1e-6
}

/// What is printed is what is cut: every number of the shape is one that the drawing can show.
/// Bars come as they come: their sizes and general tolerances are in the unit of their standard.
fn printed_is_cut(part: &Part) {
    let mut sizes: Vec<&Size> = vec![&part.length];
    let mut lengths: Vec<(String, Length)> = Vec::new();
    for feature in &part.features {
        match &feature.kind {
            Kind::Tongue(tongue) => {
                sizes.extend([&tongue.width, &tongue.height]);
                for (limit, length) in [("upper", tongue.width.upper), ("lower", tongue.width.lower)] {
                    lengths.push((format!("{} {limit}", tongue.width.name), length));
                }
            }
            Kind::Slot(slot) => {
                sizes.push(&slot.width);
                sizes.extend(&slot.length);
                sizes.extend(slot.depth.blind());
                lengths.push((format!("place of {}", feature.id), slot.place.y));
            }
            Kind::Holes(holes) => {
                sizes.extend(holes.depth.blind());
                for place in &holes.places {
                    lengths.push((format!("place in {}", feature.id), place.x));
                    lengths.push((format!("place in {}", feature.id), place.y));
                }
                lengths.extend(holes.chamfer.map(|chamfer| (format!("chamfer of {}", feature.id), chamfer)));
            }
        }
    }
    lengths.extend(sizes.iter().map(|size| (size.name.clone(), size.nominal)));
    for (name, length) in lengths {
        assert!(printable(length, part), "{}: {name} is {} mm, which no drawing shows", part.number, length.as_mm());
    }
}

/// The same text, told by the first line that differs.
#[track_caller]
fn same_lines(ours: &str, theirs: &str, what: &str) {
    if let Some((at, (ours, theirs))) = ours.lines().zip(theirs.lines()).enumerate().find(|(_, (a, b))| a != b) {
        panic!("{what}: line {} is `{ours}`, not `{theirs}`", at + 1);
    }
    assert_eq!(ours.len(), theirs.len(), "{what}: one is longer");
}

#[test]
fn every_key_is_made_or_refused_with_reason() {
    let family = key();
    let rack = demo_shop("canned").rack;
    let mut dice = Dice::new(2768);
    let (mut good, mut bad, mut searched) = (0, 0, 0);
    for (round, keys) in [KEYS, KEYS].into_iter().enumerate() {
        for _ in 0..keys {
            let inputs = if round == 0 { dice.likely_key() } else { dice.any_key() };
            let promising = promising(&family, &inputs, &rack);
            if !promising {
                bad += 1;
                if searched >= SEARCHED {
                    continue;
                }
                searched += 1;
            }
            let variant = variant::derive(&family, &inputs, &rack);
            sound(&variant, &inputs);
            assert!(promising || variant.part.is_none(), "{inputs:?} is refused, and then not");
            if let Some(part) = &variant.part {
                good += 1;
                printed_is_cut(part);
            }
        }
    }
    assert!(good > KEYS / 5 && bad > KEYS / 5, "both kinds are met: {good} made, {bad} refused");
}

#[test]
fn remedies_work() {
    let family = key();
    let rack = demo_shop("canned").rack;
    let mut dice = Dice::new(45);
    let (mut applied, mut tried) = (0, 0);
    while applied < (if QUICK { 1 } else { 60 }) {
        tried += 1;
        assert!(tried < 500, "only {applied} remedies in {tried} keys");
        let inputs = if tried % 4 == 0 { dice.any_key() } else { dice.likely_key() };
        if promising(&family, &inputs, &rack) {
            continue;
        }
        for remedy in variant::derive(&family, &inputs, &rack).remedies {
            applied += 1;
            let mut mended = inputs.clone();
            mended.given.insert(remedy.parameter.clone(), remedy.to.clone());
            let variant = variant::derive(&family, &mended, &rack);
            assert!(
                variant.part.is_some(),
                "{:?} with {}={} (was {}) is refused still: {:#?}",
                inputs,
                remedy.parameter,
                remedy.to,
                remedy.from,
                variant.findings
            );
        }
    }
}

#[test]
fn the_same_sizes_give_the_same_bytes() {
    let family = key();
    let shop = demo_shop("absolute");
    let mut dice = Dice::new(6983);
    let (mut made, mut tried) = (0, 0);
    while made < 12 {
        tried += 1;
        assert!(tried < 2000, "only {made} of {tried} keys are good");
        let inputs = dice.likely_key();
        if !promising(&family, &inputs, &shop.rack) {
            continue;
        }
        let Some(goods) = make(&family, inputs.clone(), &shop).goods else { continue };
        made += 1;
        // Read back from JSON, it is the same record, and its part has the same digest.
        let text = goods.record.json();
        let back: Record = serde_json::from_str(&text).unwrap_or_else(|error| panic!("{inputs:?}: {error}"));
        same_lines(&back.json(), &text, &format!("{inputs:?}: the record comes back as it went"));
        assert_eq!(digest(&back.part), back.digest, "{inputs:?}: the digest is the part's");
        assert_eq!(back.sealed(), Some(true), "{inputs:?}: its seal holds");
        // Given one by one in the other order, the sizes are the same sizes.
        let mut other = Inputs { unit: inputs.unit, ..Inputs::default() };
        for (name, value) in inputs.given.iter().rev() {
            other.given.insert(name.clone(), value.clone());
        }
        let again = make(&family, other, &shop).goods.expect("the same sizes are as good");
        same_lines(&again.record.json(), &text, &format!("{inputs:?}: the order of sizes does not matter"));
        same_lines(&again.runs[0].program.text, &goods.runs[0].program.text, &format!("{inputs:?}: the same program"));
        // Another size is another part.
        let mut longer = inputs.clone();
        longer.given.insert("length_per_rail".to_owned(), "61 mm".to_owned());
        if let Some(part) = variant::derive(&family, &longer, &shop.rack).part {
            assert_ne!(digest(&part), goods.record.digest, "{inputs:?}: another length, another digest");
        }
    }
}
