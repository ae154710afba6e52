//! Whether a slip does harm, found in another way than the proof finds it: the ways of the good and of the changed
//! program are laid beside each other, place by place. Where the changed one cuts what the good one does not, or leaves
//! what it cuts, or hastens through what still stands, that is harm. The proof's own regions, rules about material,
//! inspection and loads are not used; places are sampled.

use barwright_core::geom::Point;
use barwright_core::part::{Depth, End, Head, Kind, Make, Part, Size};
use barwright_core::proof::{Event, Motion, Path, Tip, Trace};
use barwright_core::quantity::{Length, Time};
use barwright_core::shop::{Cutter, Setup, Shop, Tool};

/// What a good program stands in.
pub(crate) struct World<'w> {
    pub(crate) part: &'w Part,
    pub(crate) shop: &'w Shop,
    pub(crate) setup: &'w Setup,
    pub(crate) good: &'w Trace,
}

/// Places along a way are no farther apart, in millimetres.
const STEP: f64 = 0.4;

/// A pass of a thread mill may step out so far, in pitches, before a pass is missing: a full thread is 0.54 to 0.58
/// deep, the first of two passes takes two thirds of it (common practice).
const THREAD_STEP: f64 = 0.42;

impl World<'_> {
    /// Why a slip that the proof lets pass does no harm; or what harm it does.
    pub(crate) fn reason(&self, changed: &Trace) -> Result<&'static str, String> {
        let (a, b) = (said(self.good), said(changed));
        if a == b {
            return Ok("the control does exactly the same");
        }
        let clear = self.setup.clear.as_mm();
        for (event, line) in &b {
            match event {
                Event::HeightUnknown { .. } => return Err(format!("height unknown at line {line}")),
                Event::Blind { to, parked: false, .. } if to[2].is_none_or(|z| z < clear - 0.02) => {
                    return Err(format!("blind at line {line}"));
                }
                _ => {}
            }
        }
        self.changes(&a, &b)?;
        self.waits(&b)?;
        let (a, b) = (moves(&a), moves(&b));
        if a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| same_way(a, b)) {
            return self.loads(&a, &b);
        }
        self.ways(&a, &b)
    }

    fn tool(&self, number: u32) -> Option<&Tool> {
        self.shop.tools.iter().find(|tool| tool.number == number)
    }

    /// The same tools in the same order, changed and ended at a height that leaves room.
    fn changes(&self, a: &[(Event, usize)], b: &[(Event, usize)]) -> Result<(), String> {
        let clear = self.setup.clear.as_mm();
        let out = |number: u32| self.tool(number).map_or(0.0, |tool| tool.stick_out.as_mm());
        let key = |list: &[(Event, usize)], judged: bool| -> Result<Vec<String>, String> {
            let mut fitted: Option<u32> = None;
            let mut told = Vec::new();
            for (event, line) in list {
                match event {
                    Event::Change { tool, height, parked, turning, .. } => {
                        if let Some(before) = fitted {
                            let longer = (out(*tool) - out(before)).max(0.0);
                            let room = *parked || height.is_some_and(|z| z - longer >= clear - 0.02);
                            if judged && !room {
                                return Err(format!("line {line}: changed at {height:?}"));
                            }
                        }
                        told.push(format!("tool {tool} {turning}"));
                        fitted = Some(*tool);
                    }
                    Event::End { height, parked, turning, coolant, .. } => {
                        if judged && !parked && height.is_none_or(|z| z < clear - 0.02) {
                            return Err(format!("line {line}: ends at {height:?}"));
                        }
                        told.push(format!("end {turning} {coolant}"));
                    }
                    _ => {}
                }
            }
            Ok(told)
        };
        let (a, b) = (key(a, false)?, key(b, true)?);
        if a == b { Ok(()) } else { Err(format!("tools or the end differ: {a:?} became {b:?}")) }
    }

    /// From each start of the spindle to the first cut it has its time, and nothing waits half a minute.
    fn waits(&self, list: &[(Event, usize)]) -> Result<(), String> {
        let wanted = self.shop.control.dwell.map_or(0.0, Time::as_second);
        let mut since: Option<f64> = None;
        for (event, line) in list {
            match event {
                Event::Start { fresh: true, .. } => since = Some(0.0),
                Event::Dwell { time, .. } => {
                    if time.as_second() > 30.0 {
                        return Err(format!("line {line}: waits {} s", time.as_second()));
                    }
                    since = since.map(|since| since + time.as_second());
                }
                Event::Move(motion, _) => {
                    let speed = if motion.rapid { self.shop.machine.rapid } else { motion.feed };
                    let time = motion.length() / (speed.as_mm_per_min() / 60.0).max(1e-3);
                    if !motion.rapid && motion.to.z < 0.0 {
                        if let Some(since) = since
                            && since < wanted - 0.05
                            // The way to the first cut takes some time too, more than at an even speed.
                            && since + time + 0.5 < wanted
                        {
                            return Err(format!("line {line}: cuts {since:.2} s after the start"));
                        }
                        since = None;
                    }
                    since = since.map(|since| since + time);
                }
                _ => {}
            }
        }
        Ok(())
    }

    /// Feeds and speeds that a tool bears though nobody chose them, within generous bounds; what cuts nothing may go as
    /// it likes. A feed may be slow; that costs time only.
    fn loads(&self, a: &[Motion], b: &[Motion]) -> Result<&'static str, String> {
        for (number, (old, new)) in a.iter().zip(b).enumerate() {
            let feed = new.feed.as_mm_per_min() / old.feed.as_mm_per_min();
            let speed = new.spindle.as_rpm() / old.spindle.as_rpm();
            let chip = feed / speed;
            let cuts = !old.rapid && old.from.z.min(old.to.z) < 0.0;
            if cuts && (!(0.05..=8.0).contains(&chip) || !(0.1..=5.0).contains(&speed)) {
                let before: Vec<Boxed> = b[..number].iter().map(Boxed::of).collect();
                let air = self
                    .tool(new.tool)
                    .is_some_and(|tool| places(new).into_iter().all(|place| self.free(tool, place, &before, 0.01)));
                if !air {
                    return Err(format!("line {}: feed times {feed:.2}, speed times {speed:.2}", new.line));
                }
            }
        }
        Ok("the same way; feed or speed stays within what the tool bears")
    }

    /// The changed part of two ways, between what they have in common before and after.
    fn ways(&self, a: &[Motion], b: &[Motion]) -> Result<&'static str, String> {
        let same = |(a, b): &(&Motion, &Motion)| same_way(a, b);
        let before = a.iter().zip(b).take_while(same).count();
        let after = a[before..].iter().rev().zip(b[before..].iter().rev()).take_while(same).count();
        let (old, new) = (&a[before..a.len() - after], &b[before..b.len() - after]);
        let rooms = Rooms::of(self.part);
        let [boxed_a, boxed_b] = [a, b].map(|list| list.iter().map(Boxed::of).collect::<Vec<_>>());
        let (a, b) = (boxed_a.as_slice(), boxed_b.as_slice());
        let mut far = 0.0_f64;
        for (number, motion) in new.iter().enumerate() {
            for place in places(motion) {
                far = far.max(self.trespass(motion, place, a, &b[..before + number], &rooms)?);
            }
        }
        for motion in old.iter().filter(|motion| !motion.rapid) {
            for place in places(motion).into_iter().filter(|place| place.z < 0.0) {
                far = far.max(self.missed(motion, place, b, &rooms)?);
            }
        }
        if far > 0.004 {
            Ok("the cut moves by less than the limits leave")
        } else {
            Ok("only ways through the air, or a cut that another one makes")
        }
    }

    /// How far a place of the changed program lies from where the good one cuts; an error where it does harm.
    fn trespass(
        &self,
        motion: &Motion,
        place: Tip,
        good: &[Boxed],
        before: &[Boxed],
        rooms: &Rooms,
    ) -> Result<f64, String> {
        let Some(tool) = self.tool(motion.tool) else { return Err("no tool".to_owned()) };
        let harm = |what: &str| Err(format!("line {}: {what} at {place:?}", motion.line));
        if self.held(tool, place) {
            return harm("holding or travel");
        }
        let radius = tool.diameter.as_mm() / 2.0;
        let (left, right) = self.part.blank_along();
        let half = self.part.blank.width.as_mm() / 2.0;
        let (x, y) = (place.x.clamp(left.as_mm(), right.as_mm()), place.y.clamp(-half, half));
        let beside = Point::new(x, y).distance(place.plan()) > radius;
        if beside || place.z >= if motion.rapid { 0.19 } else { 0.0 } {
            return Ok(0.0);
        }
        if motion.rapid {
            // Straight up, or through what was cut before.
            let up = motion.to.z > motion.from.z && motion.from.plan().distance(motion.to.plan()) < 1e-9;
            return if up || self.free(tool, place, before, 0.13) { Ok(0.0) } else { harm("rapid in the work") };
        }
        let room = rooms.of_tool(tool);
        let near = nearest(motion.tool, place, good);
        if near <= room {
            return Ok(near);
        }
        if matches!(tool.cutter, Cutter::ThreadMill { .. }) && (place.z > -0.3 || self.in_thread(tool, place, good)) {
            return Ok(0.0);
        }
        // A hole that goes through may go deeper.
        let through = place.z < -self.part.height.least().as_mm();
        let above = Tip { z: -self.part.height.least().as_mm(), ..place };
        if through && nearest(motion.tool, above, good) <= room {
            return Ok(0.0);
        }
        if self.free(tool, place, good, room) { Ok(0.0) } else { harm("a cut where the good program makes none") }
    }

    /// How far off the changed program makes a cut of the good one; an error where it does not make it.
    fn missed(&self, motion: &Motion, place: Tip, new: &[Boxed], rooms: &Rooms) -> Result<f64, String> {
        let Some(tool) = self.tool(motion.tool) else { return Err("no tool".to_owned()) };
        let (left, right) = self.part.blank_along();
        let half = self.part.blank.width.as_mm() / 2.0;
        let radius = tool.diameter.as_mm() / 2.0;
        let (x, y) = (place.x.clamp(left.as_mm(), right.as_mm()), place.y.clamp(-half, half));
        if Point::new(x, y).distance(place.plan()) > radius {
            return Ok(0.0);
        }
        let room = rooms.of_tool(tool);
        let near = nearest(motion.tool, place, new);
        if near <= room {
            return Ok(near);
        }
        if matches!(tool.cutter, Cutter::ThreadMill { .. }) && self.in_thread(tool, place, new) {
            return Ok(0.0);
        }
        if self.free(tool, place, new, room) {
            return Ok(0.0);
        }
        Err(format!("line {}: the cut at {place:?} is not made, {near:.3} off", motion.line))
    }

    /// Whether a tooth at a place is within a groove that other turns cut: farther out at the same angle, no more than
    /// a pass may step, and no higher or lower than the flanks there leave.
    fn in_thread(&self, tool: &Tool, place: Tip, moves: &[Boxed]) -> bool {
        let holes = self.part.holes().flat_map(|(_, holes)| holes.places.iter().map(move |place| (holes, place)));
        let middle = holes
            .map(|(holes, at)| (Point::new(at.x.as_mm(), at.y.as_mm()), holes))
            .min_by(|a, b| a.0.distance(place.plan()).total_cmp(&b.0.distance(place.plan())));
        let Some((middle, holes)) = middle else { return false };
        let Some((thread, _)) = holes.thread() else { return false };
        let pitch = thread.pitch.as_mm();
        let off = place.plan().distance(middle);
        let bore = thread.internal.minor_min.as_mm() / 2.0;
        if off + tool.diameter.as_mm() / 2.0 <= bore + 0.02 || place.z + pitch < -self.part.height.most().as_mm() {
            return true;
        }
        let out = (place.plan() - middle) * (1.0 / off.max(1e-9));
        let mut step = 0.0;
        while step <= THREAD_STEP * pitch {
            let at = place.plan() + out * step;
            // Flanks of 60° between them.
            let high = 0.09 + step * 0.577;
            let near = moves.iter().filter(|other| other.motion.tool == tool.number && !other.motion.rapid);
            if near.filter(|other| other.near(at, 0.2)).any(|other| {
                let nearest = closest(&other.motion, at);
                nearest.plan().distance(at) < 0.1 && (nearest.z - place.z).abs() < high
            }) {
                return true;
            }
            step += 0.05;
        }
        false
    }

    /// Whether a tool at a place, `less` thinner all round, meets only what these moves cut.
    fn free(&self, tool: &Tool, place: Tip, moves: &[Boxed], less: f64) -> bool {
        let (left, right) = self.part.blank_along();
        let half = self.part.blank.width.as_mm() / 2.0;
        let (point, _) = profile(tool);
        let near: Vec<(&Motion, &Tool)> = moves
            .iter()
            .filter(|other| !other.motion.rapid)
            .filter_map(|other| Some((other, self.tool(other.motion.tool)?)))
            .filter(|(other, its)| other.near(place.plan(), (tool.diameter + its.diameter).as_mm()))
            .filter(|(_, its)| !matches!(its.cutter, Cutter::ThreadMill { .. }))
            .map(|(other, its)| (&other.motion, its))
            .collect();
        let bottom = -self.part.height.least().as_mm();
        [0.01, point / 2.0, point].into_iter().all(|above| {
            // Below the work nothing is kept, and nothing stands.
            let height = (place.z + above + less.min(0.06)).max(bottom);
            let radius = radius_at(tool, height - place.z) - less;
            let rings = [0.0, 0.5, 1.0].into_iter().flat_map(|ring| (0..10).map(move |turn| (ring, turn)));
            height >= 0.0
                || radius <= 0.0
                || rings.into_iter().all(|(ring, turn)| {
                    let angle = f64::from(turn) * std::f64::consts::TAU / 10.0;
                    let at = Point::new(place.x + ring * radius * angle.cos(), place.y + ring * radius * angle.sin());
                    let outside = at.x < left.as_mm() || at.x > right.as_mm() || at.y.abs() > half;
                    outside || near.iter().any(|(motion, other)| cuts(motion, other, at, height))
                })
        })
    }

    /// Whether a tool at a place meets what holds the work, or leaves the machine.
    fn held(&self, tool: &Tool, place: Tip) -> bool {
        let setup = self.setup;
        let radius = tool.diameter.as_mm() / 2.0;
        let half = self.part.blank.width.as_mm() / 2.0;
        let (left, _) = self.part.blank_along();
        let along = (place.x - setup.jaw_middle.as_mm()).abs() < setup.jaw_reach.as_mm() + radius;
        let across = place.y.abs();
        let jaw = place.z < setup.jaw_top.as_mm()
            && across + radius > half
            && across - radius < half + setup.jaw_thickness.as_mm();
        let thick = setup.parallel_thickness.as_mm();
        let parallel = place.z < setup.parallel_top.as_mm() - 1e-6 && across + radius_at(tool, 0.5) > half - thick;
        let bed = place.z < (setup.parallel_top - setup.parallel_height).as_mm();
        let end = setup.stop_at.unwrap_or(left).as_mm();
        let stop = place.z < setup.stop_top.as_mm()
            && place.x - radius < end
            && place.x + radius > end - setup.stop_thickness.as_mm()
            && across - radius < half;
        let travel = |from: Length, to: Length| (to - from).as_mm();
        let machine = &self.shop.machine;
        let far = place.x.abs() > travel(machine.x.from, machine.x.to)
            || place.y.abs() > travel(machine.y.from, machine.y.to)
            || place.z > travel(machine.z.from, machine.z.to);
        (along && (jaw || parallel || bed)) || stop || far
    }
}

/// How far cuts may move within the limits of the part, for mills and for drills.
struct Rooms {
    mill: f64,
    drill: f64,
}

impl Rooms {
    fn of(part: &Part) -> Self {
        let half = |size: &Size| (size.upper - size.lower).as_mm() / 2.0;
        let (mut mill, mut drill) = (0.0_f64, 0.0_f64);
        for feature in &part.features {
            match &feature.kind {
                Kind::Tongue(tongue) => {
                    mill = mill.max(half(&tongue.width) + tongue.centring.as_mm()).max(half(&tongue.height));
                }
                Kind::Slot(slot) => {
                    let deep = slot.depth.blind().map_or(0.0, half);
                    mill = mill.max(half(&slot.width) + slot.place_tolerance.as_mm()).max(deep);
                    mill = mill.max(slot.length.as_ref().map_or(0.0, half));
                }
                Kind::Holes(holes) => {
                    let off = holes.place_tolerance.as_mm();
                    let made = match &holes.make {
                        Make::Plain { diameter } => half(diameter),
                        Make::Reamed { .. } | Make::Tapped { .. } => 0.0,
                    };
                    let deep = match &holes.depth {
                        Depth::Blind(depth) => 2.0 * half(depth),
                        Depth::Through => 0.0,
                    };
                    let head = match &holes.head {
                        Some(Head::Counterbore { diameter, depth }) => half(diameter).max(half(depth)),
                        Some(Head::Countersink { diameter, .. }) => half(diameter),
                        None => 0.1,
                    };
                    drill = drill.max(off).max(deep).max(head);
                    mill = mill.max(off + made.max(head)).max(deep);
                }
            }
        }
        if !matches!(part.ends.right, End::Finished) {
            mill = mill.max(2.0 * half(&part.length)).max(part.ends.corner.as_ref().map_or(0.0, half));
        }
        Self { mill: mill + 0.01, drill: drill + 0.02 }
    }

    fn of_tool(&self, tool: &Tool) -> f64 {
        match tool.cutter {
            Cutter::ThreadMill { .. } => 0.08,
            Cutter::EndMill { .. } => self.mill,
            Cutter::Spot { .. } | Cutter::Drill { .. } | Cutter::Reamer { .. } | Cutter::Countersink { .. } => {
                self.drill
            }
        }
    }
}

/// Height of the cone at the end of a tool, and its radius at the tip.
fn profile(tool: &Tool) -> (f64, f64) {
    let radius = tool.diameter.as_mm() / 2.0;
    match &tool.cutter {
        Cutter::Spot { point } | Cutter::Drill { point, .. } => (radius / (point.as_rad() / 2.0).tan(), 0.0),
        Cutter::Countersink { angle, nose } => {
            let nose = nose.as_mm() / 2.0;
            ((radius - nose) / (angle.as_rad() / 2.0).tan(), nose)
        }
        Cutter::EndMill { .. } | Cutter::Reamer { .. } | Cutter::ThreadMill { .. } => (0.0, radius),
    }
}

fn radius_at(tool: &Tool, above: f64) -> f64 {
    let radius = tool.diameter.as_mm() / 2.0;
    let (point, nose) = profile(tool);
    if above < 0.0 {
        -1.0
    } else if above >= point {
        radius
    } else {
        nose + (radius - nose) * above / point
    }
}

/// A move with the box around it.
struct Boxed {
    motion: Motion,
    x: (f64, f64),
    y: (f64, f64),
}

impl Boxed {
    fn of(motion: &Motion) -> Self {
        Self { motion: *motion, x: motion.reach(0), y: motion.reach(1) }
    }

    fn near(&self, place: Point, by: f64) -> bool {
        place.x >= self.x.0 - by && place.x <= self.x.1 + by && place.y >= self.y.0 - by && place.y <= self.y.1 + by
    }
}

/// The place of a move that is nearest as seen from above; the lower end of one straight up or down.
fn closest(motion: &Motion, at: Point) -> Tip {
    match motion.path {
        Path::Line => {
            let way = motion.to.plan() - motion.from.plan();
            let square = way.dot(way);
            let down = f64::from(u8::from(motion.to.z < motion.from.z));
            let share = if square < 1e-18 { down } else { (at - motion.from.plan()).dot(way) / square };
            motion.at(share.clamp(0.0, 1.0))
        }
        Path::Arc(arc) => {
            let angle = (at - arc.centre).angle().as_rad();
            let turn = if arc.sweep > 0.0 { angle - arc.start } else { arc.start - angle };
            let turn = turn.rem_euclid(std::f64::consts::TAU);
            if turn <= arc.sweep.abs() {
                motion.at(turn / arc.sweep.abs())
            } else if motion.from.plan().distance(at) < motion.to.plan().distance(at) {
                motion.from
            } else {
                motion.to
            }
        }
    }
}

/// Whether a move of a tool cuts a place at a height.
fn cuts(motion: &Motion, tool: &Tool, at: Point, height: f64) -> bool {
    let tip = closest(motion, at);
    tip.plan().distance(at) <= radius_at(tool, height - tip.z + 1e-9) + 0.003
}

/// How near to a place the cuts of a tool come.
fn nearest(tool: u32, place: Tip, moves: &[Boxed]) -> f64 {
    let mine = moves.iter().filter(|other| other.motion.tool == tool && !other.motion.rapid);
    mine.filter(|other| other.near(place.plan(), 1.0))
        .map(|other| gap(&other.motion, place))
        .fold(f64::INFINITY, f64::min)
}

/// The distance of a place from a move.
fn gap(motion: &Motion, place: Tip) -> f64 {
    match motion.path {
        Path::Line => {
            let way = [motion.to.x - motion.from.x, motion.to.y - motion.from.y, motion.to.z - motion.from.z];
            let off = [place.x - motion.from.x, place.y - motion.from.y, place.z - motion.from.z];
            let square: f64 = way.iter().map(|part| part * part).sum();
            let share =
                if square < 1e-18 { 0.0 } else { way.iter().zip(&off).map(|(a, b)| a * b).sum::<f64>() / square };
            motion.at(share.clamp(0.0, 1.0)).distance(place)
        }
        // A turn rises by far less than it is wide: what is nearest from above is nearest.
        Path::Arc(_) => closest(motion, place.plan()).distance(place),
    }
}

/// Places along a move.
fn places(motion: &Motion) -> Vec<Tip> {
    let count = (motion.length() / STEP).ceil().clamp(1.0, 150.0);
    let mut list = vec![motion.from];
    let mut number = 1.0;
    while number <= count {
        list.push(motion.at(number / count));
        number += 1.0;
    }
    list
}

fn said(trace: &Trace) -> Vec<(Event, usize)> {
    let bare = |event: &Event| match *event {
        Event::Move(motion, exact) => (Event::Move(Motion { line: 0, ..motion }, exact), motion.line),
        Event::Blind { line, tool, to, aside, parked } => (Event::Blind { line: 0, tool, to, aside, parked }, line),
        Event::HeightUnknown { line } => (Event::HeightUnknown { line: 0 }, line),
        Event::Dwell { line, time } => (Event::Dwell { line: 0, time }, line),
        Event::Change { line, tool, height, parked, turning } => {
            (Event::Change { line: 0, tool, height, parked, turning }, line)
        }
        Event::Start { line, speed, tool, fresh } => (Event::Start { line: 0, speed, tool, fresh }, line),
        Event::End { line, height, parked, turning, coolant } => {
            (Event::End { line: 0, height, parked, turning, coolant }, line)
        }
    };
    trace.events.iter().map(bare).collect()
}

fn moves(list: &[(Event, usize)]) -> Vec<Motion> {
    let motion = |(event, line): &(Event, usize)| match event {
        Event::Move(motion, _) => Some(Motion { line: *line, ..*motion }),
        _ => None,
    };
    list.iter().filter_map(motion).collect()
}

fn same_way(a: &Motion, b: &Motion) -> bool {
    let near = a.from.distance(b.from) < 1e-9 && a.to.distance(b.to) < 1e-9;
    near && a.path == b.path && a.tool == b.tool && (a.rapid == b.rapid || a.rapid)
}
