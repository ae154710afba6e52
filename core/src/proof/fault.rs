//! What is wrong with a line, before it is known which line.

/// A finding that does not yet know its line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Fault {
    pub(super) code: &'static str,
    pub(super) what: String,
    pub(super) consequence: String,
}

/// A finding with what would happen at the machine.
pub(super) fn fault(code: &'static str, what: impl Into<String>, consequence: impl Into<String>) -> Fault {
    Fault { code, what: what.into(), consequence: consequence.into() }
}

/// A finding for which the control stops, or does something that nobody can foretell.
pub(super) fn stops(code: &'static str, what: impl Into<String>) -> Fault {
    fault(code, what, "The control stops at this line with an alarm, or does what its maker thought best.")
}

/// A breach that lies with this proof and not with the control.
pub(super) fn unread(code: &'static str, what: impl Into<String>) -> Fault {
    fault(code, what, "What comes after this line is not read, and so nothing of the program is proved.")
}
