//! Sheets judged as a checker would: by what stands on the paper, not by how it came there.

use super::{lay_out, sample, svg};

#[test]
fn samples_are_laid_out() {
    for part in [sample::key(), sample::long(), sample::tiny(), sample::inch_key(), sample::plate()] {
        let checked = lay_out(&part, &sample::format(&part), &sample::stamp());
        let sheet = checked.into_result().unwrap_or_else(|findings| panic!("{}: {findings:?}", part.number));
        let text = svg::write(&sheet);
        assert!(text.contains("data-value=\"length\""), "{}", part.number);
    }
}
