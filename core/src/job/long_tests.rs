//! A program that is longer than the proof reads.

use super::*;
use crate::plan::tests::{m5_key, planned};
use crate::shop::demo_shop;

/// The program of a key, with blank lines up to one more than are read.
fn long() -> (Part, Run) {
    let (part, shop) = (m5_key(), demo_shop("canned"));
    let mut run = runs(&planned(&part, &shop), &part, &shop, &Stamp::default(), true).remove(0);
    let lines = run.program.text.lines().count();
    let blank = "\n".repeat(proof::MOST_LINES + 1 - lines);
    run.program.text.insert_str(run.program.text.find("M30").expect("its end"), &blank);
    run.verdict = proof::prove(&run.program.text, &part, &shop, &run.setup);
    (part, run)
}

#[test]
fn is_told_as_a_limit_and_not_as_a_fault() {
    let (part, run) = long();
    for insists in [false, true] {
        let told = told(std::slice::from_ref(&run), &part, insists);
        let codes: Vec<&str> = told.iter().map(|finding| finding.code).collect();
        assert_eq!(codes, ["proof/too-long", "proof/unproved"], "nothing else can be said of it");
        assert!(told[0].headline.contains("200001") && told[0].headline.contains("200000"), "{}", told[0].headline);
        let said = [told[1].notes.concat(), told[1].helps.concat()].concat();
        // The key's four holes, in proportion.
        for part in ["4 holes take 200001 lines", "about 3 of their kind", "Milled threads", "the part in two"] {
            assert!(said.contains(part), "{part}: {said}");
        }
        assert!(!said.contains("report"), "it is nobody's fault: {said}");
    }
}
