//! What the control remembers from line to line.

use super::expression::Parameters;
use super::motion::Plane;
use crate::quantity::Unit;
use crate::shop::{Control, Setup, Shop, Stand};

/// What a text is read against: the control, and where things stand when the program starts.
#[derive(Clone, Debug)]
pub struct Bench<'s> {
    /// The control profile.
    pub control: &'s Control,
    /// The unit that is taken where the program states none, beside the breach.
    pub unit: Unit,
    /// Numbers of the tools that there are; `None`: any.
    pub tools: Option<Vec<u32>>,
    /// Origins of the nine work coordinate systems in the part's axes, in millimetres.
    pub origins: [Option<[f64; 3]>; 9],
    /// The machine's zero in the part's axes, where it is known.
    pub machine_zero: Option<[f64; 3]>,
    /// The head is up and out of every way at machine coordinates from here on.
    pub high_from: f64,
    /// The system that the setup asks for, from zero; a program that moves in another is told so.
    pub system: Option<usize>,
    /// The systems of the other places of a load, each with a known origin.
    pub more_systems: Vec<usize>,
    /// Where the tool stands at the start, as far as it is known.
    pub start: [Option<f64>; 3],
    /// Number of the tool in the spindle at the start, its length offset active.
    pub fitted: Option<u32>,
    /// What a probe touches, where one is in the spindle.
    pub contact: Option<super::Block3>,
}

/// Which way the spindle turns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Turn {
    Stands,
    Clockwise,
    Counter,
}

/// The state of the control. `None` in a mode: the program has not stated it yet.
#[derive(Clone, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is one switch of the control, on or off by its own word")]
pub(super) struct State {
    pub(super) unit: Option<Unit>,
    pub(super) plane: Option<Plane>,
    /// G91 is `true`.
    pub(super) incremental: Option<bool>,
    /// G93 is `true`.
    pub(super) inverse_time: Option<bool>,
    /// G40, G41 or G42 has been stated: the cutter goes where the program says, or a breach is told.
    pub(super) radius_stated: bool,
    /// The motion mode, ten times its number; 800 is none.
    pub(super) motion: i64,
    /// The work coordinate system, from zero.
    pub(super) system: Option<usize>,
    /// The active length offset; `Some(0)`: none, by G49.
    pub(super) length: Option<u32>,
    /// G98 is `true`.
    pub(super) to_old: Option<bool>,
    /// G61 or G61.1 is `true`: every block comes to rest.
    pub(super) exact: Option<bool>,
    pub(super) feed: Option<f64>,
    /// The feed was stated since the last change of tool or unit.
    pub(super) feed_fresh: bool,
    pub(super) speed: Option<f64>,
    /// The speed was stated since the last change of tool.
    pub(super) speed_fresh: bool,
    pub(super) turn: Turn,
    pub(super) coolant: bool,
    pub(super) tool: Option<u32>,
    pub(super) chosen: Option<u32>,
    pub(super) at: [Option<f64>; 3],
    /// The head is at the top of its travel.
    pub(super) parked: bool,
    pub(super) origins: [Option<[f64; 3]>; 9],
    pub(super) shift: [f64; 3],
    pub(super) kept_shift: [f64; 3],
    pub(super) parameters: Parameters,
    pub(super) sticky: Sticky,
}

/// What canned cycles keep from line to line (3.5.16), in program units.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sticky {
    pub(super) cycle: i64,
    pub(super) r: Option<f64>,
    pub(super) z: Option<f64>,
    pub(super) p: Option<f64>,
    pub(super) q: Option<f64>,
}

impl<'s> Bench<'s> {
    /// The bench as the report has it: every system and the machine share one zero, any tool is
    /// there, the tool stands at a known place and nothing is stated yet.
    pub fn plain(control: &'s Control, start: [f64; 3]) -> Self {
        Self {
            control,
            unit: Unit::Mm,
            tools: None,
            origins: [Some([0.0; 3]); 9],
            machine_zero: Some([0.0; 3]),
            high_from: f64::MAX,
            system: None,
            more_systems: Vec::new(),
            start: start.map(Some),
            fitted: Some(0),
            contact: None,
        }
    }

    /// The bench of a shop with the work set up: the place of the tool is unknown at the start,
    /// only the setup's own system has a known origin.
    pub fn of(shop: &'s Shop, setup: &Setup, unit: Unit) -> Self {
        let mut origins = [None; 9];
        let system = system_of(&setup.work_offset);
        if let Some(place) = system.and_then(|system| origins.get_mut(system)) {
            *place = Some([0.0; 3]);
        }
        Self {
            control: &shop.control,
            unit: shop.control.unit.unwrap_or(unit),
            tools: Some(shop.tools.iter().map(|tool| tool.number).collect()),
            origins,
            machine_zero: setup.datum_at.map(|datum| datum.map(|axis| -axis.as_mm())),
            high_from: shop.machine.z.to.as_mm() - 1.0,
            system,
            more_systems: Vec::new(),
            start: [None; 3],
            fitted: None,
            contact: None,
        }
    }

    /// The bench of a load: each place's own work offset, where it has one, counts from its datum.
    pub fn of_load(shop: &'s Shop, stands: &[Stand], unit: Unit) -> Option<Self> {
        let mut bench = Self::of(shop, &stands.first()?.setup, unit);
        for stand in stands {
            let system = system_of(&stand.setup.work_offset)?;
            if bench.system != Some(system) {
                *bench.origins.get_mut(system)? = Some([stand.x.as_mm(), stand.y.as_mm(), 0.0]);
                bench.more_systems.push(system);
            }
        }
        Some(bench)
    }

    /// A machine that other programs have run on, not the control of the report as it starts: what
    /// a program does not state is whatever the one before has left.
    pub(super) fn of_shop(&self) -> bool {
        self.system.is_some()
    }

    /// The origins of the work offsets as a program may read them (3.2.1, table 1).
    fn parameters(&self) -> Parameters {
        let mut parameters = if self.of_shop() { Parameters::left_over() } else { Parameters::default() };
        let Some(zero) = self.machine_zero else { return parameters };
        for (origin, first) in self.origins.iter().zip((5221..).step_by(20)) {
            for ((place, zero), number) in origin.iter().flatten().zip(zero).zip(first..) {
                parameters.set(number, self.unit.of(crate::quantity::Length::mm(place - zero)));
            }
        }
        parameters
    }

    pub(super) fn state(&self) -> State {
        State {
            unit: None,
            plane: None,
            incremental: None,
            inverse_time: None,
            radius_stated: false,
            motion: 10,
            system: None,
            length: self.fitted,
            to_old: None,
            exact: None,
            feed: None,
            feed_fresh: false,
            speed: None,
            speed_fresh: false,
            turn: Turn::Stands,
            coolant: false,
            tool: self.fitted,
            chosen: None,
            at: self.start,
            parked: false,
            origins: self.origins,
            shift: [0.0; 3],
            kept_shift: [0.0; 3],
            parameters: self.parameters(),
            sticky: Sticky::default(),
        }
    }
}

/// The place of a work offset word, from zero: `G54` is 0, `G59.3` is 8.
pub(super) fn system_of(word: &str) -> Option<usize> {
    ["G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"]
        .iter()
        .position(|known| known.eq_ignore_ascii_case(word.trim()))
}
