//! The lines of the views against the part: outlines, and every hole a circle at its place.

use super::drawn::sheets;
use super::tests::interrupted;
use super::{Item, Role, Shape, Sheet};
use crate::geom::{Point, Rect, Vector};
use crate::part::{Face, Kind, Make, Part};

/// The boxes that are drawn as outlines, sharp or with rounded corners.
fn boxes(sheet: &Sheet) -> Vec<Rect> {
    let outlines = || sheet.items.iter().filter(|item| item.role == Role::Outline);
    let mut all: Vec<Rect> = outlines()
        .filter_map(|item| match &item.shape {
            Shape::Polyline { points, closed: true, .. } => {
                let first = Rect::new(points[0], points[0]);
                Some(points.iter().fold(first, |all, point| all.with(Rect::new(*point, *point))))
            }
            _ => None,
        })
        .collect();
    // Four quarters of a circle, one after the other, are the corners of a box.
    let arcs: Vec<(Point, f64)> = outlines()
        .filter_map(|item| match &item.shape {
            Shape::Arc { centre, radius, sweep, .. } if (sweep.as_degree() - 90.0).abs() < 1e-6 => {
                Some((*centre, *radius))
            }
            _ => None,
        })
        .collect();
    for four in arcs.chunks_exact(4) {
        let first = Rect::new(four[0].0, four[0].0).grown(four[0].1);
        all.push(four.iter().fold(first, |all, (centre, radius)| all.with(Rect::new(*centre, *centre).grown(*radius))));
    }
    all
}

fn sized(place: &Rect, wide: f64, high: f64) -> bool {
    (place.width() - wide).abs() < 1e-6 && (place.height() - high).abs() < 1e-6
}

/// Holes of the top and of what comes through from below: middle and drilled radius.
fn seen_from_above(part: &Part) -> Vec<(f64, f64, f64)> {
    let mut all = Vec::new();
    for (feature, holes) in part.holes() {
        let through = feature.face == Face::Bottom && holes.depth.blind().is_none();
        if feature.face != Face::Top && !through {
            continue;
        }
        let radius = match &holes.make {
            Make::Plain { diameter } | Make::Reamed { diameter } => diameter.nominal.as_mm() / 2.0,
            Make::Tapped { drill, .. } => drill.diameter.as_mm() / 2.0,
        };
        all.extend(holes.places.iter().map(|place| (place.x.as_mm(), place.y.as_mm(), radius)));
    }
    all
}

fn circles(sheet: &Sheet) -> Vec<(Point, f64)> {
    let circle = |item: &Item| match &item.shape {
        Shape::Circle { centre, radius } if item.role == Role::Outline => Some((*centre, *radius)),
        _ => None,
    };
    sheet.items.iter().filter_map(circle).collect()
}

#[test]
fn views_have_the_outline_of_the_part() {
    let (mut whole, mut broken) = (0, 0);
    for (part, format, sheet) in sheets() {
        let name = format!("{} {format:?}", part.number);
        let (length, width, height) =
            (part.length.nominal.as_mm(), part.width.nominal.as_mm(), part.height.nominal.as_mm());
        let scale = sheet.scale;
        let boxes = boxes(sheet);
        let grooved =
            part.features.iter().any(|feature| matches!(&feature.kind, Kind::Slot(slot) if slot.length.is_none()));
        // The end view has the section: with its tongue, eight corners at their places.
        if let (Some((_, tongue)), false) = (part.tongues().next(), grooved) {
            let (wide, high) = (tongue.width.nominal.as_mm(), tongue.height.nominal.as_mm());
            let corners: Vec<(f64, f64)> = [
                (-width, -height),
                (width, -height),
                (width, -high),
                (wide, -high),
                (wide, 0.0),
                (-wide, 0.0),
                (-wide, -high),
                (-width, -high),
            ]
            .map(|(x, y)| (x / 2.0, y))
            .to_vec();
            let found = sheet.items.iter().any(|item| {
                let Shape::Polyline { points, closed: true, .. } = &item.shape else { return false };
                let all = points.iter().fold(Rect::new(points[0], points[0]), |all, at| all.with(Rect::new(*at, *at)));
                let own = all.width() / width;
                let top = Point::new(all.middle().x, all.high.y);
                item.role == Role::Outline
                    && points.len() == corners.len()
                    && corners
                        .iter()
                        .all(|(x, y)| points.iter().any(|at| at.distance(top + Vector::new(*x, *y) * own) < 1e-6))
            });
            assert!(found, "{name}: no section with the tongue");
        }
        if interrupted(sheet) {
            broken += 1;
            continue;
        }
        whole += 1;
        assert!(boxes.iter().any(|place| sized(place, length * scale, height * scale)), "{name}: no front view");
        // Every hole is a circle in the view from above, and there is none that is no hole.
        let views: Vec<&Rect> = boxes.iter().filter(|place| sized(place, length * scale, width * scale)).collect();
        let circles = circles(sheet);
        let holes = seen_from_above(part);
        let at = |view: &Rect, x: f64, y: f64| view.middle() + Vector::new(x, y) * scale;
        let all_there = |view: &&&Rect| {
            holes.iter().all(|(x, y, radius)| {
                circles.iter().any(|(centre, drawn)| {
                    centre.distance(at(view, *x, *y)) < 1e-6 && (drawn - radius * scale).abs() < 1e-6
                })
            })
        };
        let top = views.iter().find(all_there).unwrap_or_else(|| panic!("{name}: no view with all its holes"));
        for (centre, _) in circles.iter().filter(|(centre, _)| top.holds(*centre)) {
            let known = holes.iter().any(|(x, y, _)| centre.distance(at(top, *x, *y)) < 1e-6);
            assert!(known, "{name}: a circle at {centre:?} is no hole");
        }
    }
    assert!(whole > 100 && broken > 0, "whole bars and interrupted ones: {whole}, {broken}");
}

/// The longest bars of the families are drawn with a piece left out, at a scale that can be read.
#[test]
fn long_bars_are_interrupted() {
    for (part, format, sheet) in sheets() {
        if !interrupted(sheet) {
            continue;
        }
        let low = part.height.nominal.min(part.width.nominal).as_mm();
        assert!(part.length.nominal.as_mm() >= 8.0 * low, "{} {format:?}: is short", part.number);
        let lines = sheet.items.iter().filter(|item| item.role == Role::Break);
        let edges = lines.filter(|item| matches!(item.shape, Shape::Polyline { .. })).count();
        let whole = edges >= 8 && edges.is_multiple_of(4);
        assert!(whole, "{} {format:?}: two edges at both sides in two or three views, {edges}", part.number);
    }
}
