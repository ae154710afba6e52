//! The seal of a record: what a program is proved by beside the part, named as the part is by its
//! digest.

use serde::Serialize;

use super::{LoadUse, Ordered, PieceTime, ProgramUse, Record, ToolUse, named};

/// All that is taken from a record as it stands there by whoever proves, traces or adjusts.
#[derive(Serialize)]
struct Sealed<'r> {
    digest: &'r str,
    tools: &'r [ToolUse],
    tapped_by_hand: &'r [String],
    programs: &'r [ProgramUse],
    loads: &'r [LoadUse],
    order: Option<&'r Ordered>,
    proved: bool,
    time: &'r PieceTime,
}

impl Record {
    /// What its seal must be: twelve hexadecimal digits of the SHA-256 of what is sealed, the part
    /// by its digest.
    ///
    /// # Panics
    /// Never: a record is plain data with text keys, and JSON holds all of it.
    pub fn seal_of(&self) -> String {
        let sealed = Sealed {
            digest: &self.digest,
            tools: &self.tools,
            tapped_by_hand: &self.tapped_by_hand,
            programs: &self.programs,
            loads: &self.loads,
            order: self.order.as_ref(),
            proved: self.proved,
            time: &self.time,
        };
        // As it stands in the file: the module of a page has one writer of JSON less.
        named(&serde_json::to_vec_pretty(&sealed).expect("a record is plain data"))
    }

    /// Whether its seal holds; nothing where it has none, as those had that were written first.
    pub fn sealed(&self) -> Option<bool> {
        self.seal.as_ref().map(|seal| *seal == self.seal_of())
    }

    /// Enters an order and the programs of its loads, and seals it anew; a record without a seal
    /// gets none.
    pub fn enter(&mut self, loads: Vec<LoadUse>, order: Ordered) {
        self.loads = loads;
        self.order = Some(order);
        if self.seal.is_some() {
            self.seal = Some(self.seal_of());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Plan;
    use crate::plan::tests::{m5_key, planned};
    use crate::quantity::{Length, Time};
    use crate::shop::{Stand, demo_shop};
    use crate::variant::Variant;

    type Change = fn(&mut Record);

    fn record() -> (Record, Plan) {
        let shop = demo_shop("canned");
        let part = m5_key();
        let plan = planned(&part, &shop);
        let variant = Variant {
            family: String::new(),
            unit: part.unit,
            entries: Vec::new(),
            verdicts: Vec::new(),
            remedies: Vec::new(),
            findings: Vec::new(),
            part: None,
        };
        (Record::new(&variant, &part, &plan, &shop.control, &[]), plan)
    }

    fn load(plan: &Plan) -> LoadUse {
        let setup = plan.setups[0].setup.clone();
        LoadUse {
            file: "load-1-of-1.nc".to_owned(),
            setup: 1,
            pieces: 1,
            unit: crate::quantity::Unit::Mm,
            control: "canned".to_owned(),
            datum: String::new(),
            pose: plan.setups[0].pose,
            stands: vec![Stand { x: Length::ZERO, y: Length::ZERO, setup }],
        }
    }

    #[test]
    fn holds_while_nothing_of_it_is_changed() {
        let (mut record, plan) = record();
        assert_eq!(record.sealed(), Some(true), "as it was made");
        let before = record.seal.clone();
        record.enter(vec![load(&plan)], Ordered { pieces: 1, ..Ordered::default() });
        assert_eq!(record.sealed(), Some(true), "with its order");
        assert_ne!(record.seal, before, "which is in the seal");
        let back: Record = serde_json::from_str(&record.json()).expect("read back");
        assert_eq!(back.sealed(), Some(true), "through the file");
        let cases: [(&str, Change); 13] = [
            ("jaws", |it| it.programs[0].setup.jaw_top = Length::mm(-500.0)),
            ("their reach", |it| it.programs[0].setup.jaw_reach = Length::mm(0.001)),
            ("parallels", |it| it.programs[0].setup.parallel_top = Length::mm(-99.0)),
            ("the clear height", |it| it.programs[0].setup.clear = Length::mm(1.0)),
            ("the control", |it| it.programs[0].control = "absolute".to_owned()),
            ("the pose", |it| it.programs[0].pose = crate::part::Pose::Bottom),
            ("what holds a load", |it| it.loads[0].stands[0].setup.stop_top = Length::mm(-500.0)),
            ("a place of it", |it| it.loads[0].stands[0].x = Length::mm(1.0)),
            ("a thread left to the bench", |it| it.tapped_by_hand.push("screws".to_owned())),
            ("a tool", |it| it.tools[0].number = 99),
            ("the order", |it| it.order = None),
            ("the verdict", |it| it.proved = !it.proved),
            ("the time", |it| it.time.total = Time::second(1.0)),
        ];
        for (what, change) in cases {
            let mut other = record.clone();
            change(&mut other);
            assert_eq!(other.sealed(), Some(false), "{what}");
        }
        let other = Record { digest: "0123456789ab".to_owned(), ..record.clone() };
        assert_eq!(other.sealed(), Some(false), "it is the seal of this part");
    }

    #[test]
    fn is_not_given_to_what_was_written_without() {
        let (mut record, plan) = record();
        record.seal = None;
        record.enter(vec![load(&plan)], Ordered::default());
        assert_eq!((record.sealed(), record.json().contains("\"seal\"")), (None, false));
    }
}
