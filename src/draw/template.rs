//! The punching template at true scale: holes, spine edge, tail fold, head, and how it is laid.

use super::check;
use super::flow::column;
use super::font::Face;
use super::list::{Anchor, Area, Ink, Line, Page, Text, at};
use super::paper::{self, MM, Paper, said};
use super::place::drawn;
use super::tile::{self, Large, Tile};
use crate::length::Length;
use crate::plan::{LeafPlan, Plan};
use crate::report::handout::said as words;

/// Wide enough to hold and to read; no wider than the leaf.
const STRIP: i64 = 66 * MM;

/// Leaves of one height: they share one template.
fn groups(plan: &Plan) -> Vec<Vec<&LeafPlan>> {
    let mut groups: Vec<Vec<&LeafPlan>> = Vec::new();
    for leaf in &plan.leaves {
        match groups.iter_mut().find(|g| g[0].height == leaf.height) {
            Some(group) => group.push(leaf),
            None => groups.push(vec![leaf]),
        }
    }
    groups
}

/// The template as one figure, its spine edge at the left, its tail below.
fn figure(plan: &Plan, group: &[&LeafPlan]) -> Large {
    let edge = drawn(plan.holes.edge);
    let radius = drawn(plan.holes.diameter) / 2;
    let narrowest = group.iter().map(|leaf| drawn(leaf.width)).min();
    let width = STRIP.max(edge + radius + 40 * MM);
    let width = width.min(narrowest.unwrap_or(width));
    let height = drawn(group[0].height);
    let mut large = Large {
        width,
        height,
        ..Large::default()
    };
    let name = format!("template: {}", group[0].name);
    large.rect(&name, Area::sized(0, 0, width, height), Line::Edge);
    for (n, above) in plan.holes.heights.iter().enumerate() {
        large.circles.push((
            format!("{name}: hole {}", n + 1),
            at(edge, height - drawn(*above)),
            Length::from_nm(radius),
        ));
    }
    large
}

/// All pages of the templates.
pub fn pages(paper: Paper, plan: &Plan) -> Vec<Page> {
    let body = paper.true_body();
    let mut pages = Vec::new();
    for group in groups(plan) {
        let large = figure(plan, &group);
        let names: Vec<String> = group.iter().map(|leaf| leaf.name.clone()).collect();
        let of = words::lengths(&names);
        let all = tile::tiles(&large, body.width(), body.height());
        for tile in &all {
            // Where it goes stands first: names may be long.
            let title = match tile::named(*tile) {
                Some(part) => format!("Template at true scale, {part}: {of}"),
                None => format!("Template at true scale: {of}"),
            };
            let about = format!(
                "The strip through which {of} is punched, at true scale: {} holes along its left edge.",
                plan.holes.heights.len()
            );
            let mut page = paper.page(&title, &about);
            one(&mut page, paper, plan, &group, &large, *tile);
            pages.push(page);
        }
    }
    pages
}

fn one(page: &mut Page, paper: Paper, plan: &Plan, group: &[&LeafPlan], large: &Large, tile: Tile) {
    let body = paper.true_body();
    let edge = drawn(plan.holes.edge);
    let radius = drawn(plan.holes.diameter) / 2;
    let clear = edge + radius;
    paper::bars(page, paper);
    let origin = (body.left, body.top);
    tile::draw(page, large, tile, origin, clear);
    let window = tile.window;
    let (dx, dy) = (origin.0 - window.left, origin.1 - window.top);
    let strip = Area {
        left: window.left + dx,
        right: window.right + dx,
        top: window.top + dy,
        bottom: window.bottom + dy,
    };
    let mut try_all = |candidates: Vec<Text>| {
        let inside = strip.grown(-MM);
        let free = candidates.into_iter().find(|text| {
            let area = text.area();
            inside.holds(area) && check::free(page, area.grown(MM / 2))
        });
        let found = free.is_some();
        if let Some(text) = free {
            page.text(text);
        }
        found
    };
    if tile.column == 0 {
        // Each hole's height beside it.
        for (n, above) in plan.holes.heights.iter().enumerate() {
            let y = large.height - drawn(*above) + dy;
            let x = clear + 5 * MM + dx;
            let long = format!(
                "hole {}: {} above the tail",
                n + 1,
                words::length(plan.ruler, *above)
            );
            let short = words::length(plan.ruler, *above);
            if y - radius < strip.top || y + radius > strip.bottom {
                continue;
            }
            let places = [0, 5 * MM, -5 * MM, 10 * MM, -10 * MM];
            let at_height = |label: &str| {
                let label = label.to_owned();
                places.map(|off| said(x, y + MM + off, &label, 3_200_000))
            };
            try_all([at_height(&long), at_height(&short)].concat());
        }
        // Along the spine edge, between the holes and right of them.
        let label = "SPINE EDGE: lay it at the leaf's spine edge";
        let x = clear + 4 * MM + dx;
        let along = || {
            (0..200)
                .map(|n| strip.bottom - 4 * MM * n)
                .take_while(|y| *y > strip.top)
        };
        let turned = |words: &str| {
            let words = words.to_owned();
            along()
                .map(|y| Text {
                    turned: true,
                    face: Face::Bold,
                    ..said(x, y, &words, 3_200_000)
                })
                .collect::<Vec<_>>()
        };
        if !try_all(turned(label)) {
            try_all(turned("SPINE EDGE"));
        }
    }
    let middle = strip.left.midpoint(strip.right) + clear / 2;
    let level = |label: &str, y: i64, face: Face| Text {
        anchor: Anchor::Middle,
        face,
        ..said(middle, y, label, 3_400_000)
    };
    if tile.row == 0 {
        let head = words::length(plan.ruler, group[0].height);
        let down = [5 * MM, 10 * MM, 15 * MM, 20 * MM];
        try_all(
            down.map(|d| level("HEAD", strip.top + d, Face::Bold))
                .to_vec(),
        );
        let label = format!("{head} above the tail");
        try_all(
            [10 * MM, 15 * MM, 20 * MM, 25 * MM]
                .map(|d| level(&label, strip.top + d, Face::Regular))
                .to_vec(),
        );
    }
    if tile.row + 1 == tile.rows {
        let up = [3 * MM, 8 * MM, 13 * MM];
        let label = "TAIL: at the tail fold";
        let long = up.map(|d| level(label, strip.bottom - d, Face::Bold));
        let short = up.map(|d| level("TAIL", strip.bottom - d, Face::Bold));
        try_all([long, short].concat());
    }
    // Which side is up.
    let high = strip.top.midpoint(strip.bottom);
    let (up, down): (Vec<&&LeafPlan>, Vec<&&LeafPlan>) = group.iter().partition(|l| !l.turned);
    let named = |leaves: &[&&LeafPlan]| {
        let names: Vec<String> = leaves.iter().map(|leaf| leaf.name.clone()).collect();
        words::lengths(&names)
    };
    let mut lines = vec![(Face::Bold, "THIS SIDE UP".to_owned())];
    if !up.is_empty() {
        lines.push((Face::Regular, format!("for {}", named(&up))));
    }
    if !down.is_empty() {
        lines.push((Face::Regular, format!("{}: this side down", named(&down))));
    }
    let room = strip.width() - clear - 14 * MM;
    let block = |off: i64| -> Vec<Text> {
        let all = lines.iter().enumerate();
        all.map(|(n, (face, line))| {
            let line = paper::fitted(line, *face, 3_400_000, room);
            level(&line, high + off + 5 * MM * n as i64, *face)
        })
        .collect()
    };
    // Together, where there is room for all of them.
    let offs = (0..40).flat_map(|n| [3 * MM * n, -3 * MM * n]);
    let inside = strip.grown(-MM);
    let taken = check::Taken::on(page);
    let fits = |texts: &Vec<Text>| {
        texts.iter().all(|text| {
            let area = text.area();
            inside.holds(area) && taken.free(area.grown(3 * MM))
        })
    };
    let found = offs.map(block).find(fits);
    if let Some(texts) = found {
        for text in texts {
            page.text(text);
        }
    }
    let mut try_all = |candidates: Vec<Text>| {
        let free = candidates.into_iter().find(|text| {
            let area = text.area();
            inside.holds(area) && check::free(page, area.grown(MM / 2))
        });
        free.map(|text| page.text(text)).is_some()
    };
    if tile.rows > 1 || tile.columns > 1 {
        for (first, y) in [(true, strip.top), (false, strip.bottom)] {
            let joined = match first {
                true => tile.row > 0,
                false => tile.row + 1 < tile.rows,
            };
            if !joined {
                continue;
            }
            let off = tile.overlap / 2 + 2 * MM;
            let y = if first { y + off + 3 * MM } else { y - off };
            let label = "lay on its twin";
            try_all(vec![
                level(label, y, Face::Regular),
                level("twin line", y, Face::Regular),
            ]);
        }
    }
    let beside = Area {
        left: strip.right + 8 * MM,
        right: body.right,
        top: body.top,
        bottom: body.bottom,
    };
    if beside.width() > 60 * MM {
        advice(page, plan, group, tile, beside);
    }
}

/// How the template is used, beside it.
fn advice(page: &mut Page, plan: &Plan, group: &[&LeafPlan], tile: Tile, beside: Area) {
    let mut lines = vec![
        "Check the bars below with your own ruler before you cut.".to_owned(),
        format!(
            "{} of {}, centres {} from the spine edge.",
            match plan.holes.heights.len() {
                1 => "1 hole".to_owned(),
                n => format!("{n} holes"),
            },
            words::length(plan.ruler, plan.holes.diameter),
            words::length(plan.ruler, plan.holes.edge)
        ),
        "Glue it on stiff card, cut along the wide lines: spine edge and tail exactly. Punch its holes, each centred on its cross."
            .to_owned(),
        "The right edge is no edge of the leaf; it only holds the strip together.".to_owned(),
        "Lay it at the tail fold and the spine edge. The mouth may be ragged: do not measure from it."
            .to_owned(),
    ];
    if tile.rows > 1 || tile.columns > 1 {
        lines.push(
            "This template is larger than the page. Cut one page along its long-dashed line, lay that line on its twin on the next page, crosses on crosses, and tape them."
                .to_owned(),
        );
    }
    let mut y = column(page, beside, beside.top, "How to use it", &lines);
    for turned in [false, true] {
        let names: Vec<String> = group
            .iter()
            .filter(|leaf| leaf.turned == turned)
            .map(|leaf| leaf.name.clone())
            .collect();
        if names.is_empty() {
            continue;
        }
        let how = match turned {
            false => "pocket side up, template face up, at the left edge.",
            true => {
                "it is turned over in the album, so: pocket side up, template face DOWN, head up, at the right edge."
            }
        };
        let said = format!("{}: {how}", words::lengths(&names));
        y = column(page, beside, y + 4 * MM, "", &[said]);
        y = laid(page, plan, group[0], turned, beside, y + 2 * MM);
    }
}

/// A small picture of a leaf with the template on it; tells where it ends.
fn laid(
    page: &mut Page,
    plan: &Plan,
    leaf: &LeafPlan,
    turned: bool,
    beside: Area,
    top: i64,
) -> i64 {
    let (width, height) = (drawn(leaf.width), drawn(leaf.height));
    let room = (beside.bottom - top - 6 * MM).min(46 * MM);
    if room < 25 * MM || height <= 0 {
        return top;
    }
    let small = |length: i64| (i128::from(length) * i128::from(room) / i128::from(height)) as i64;
    let wide = small(width).min(beside.width() - 40 * MM);
    let left = beside.left + 4 * MM;
    let area = Area::sized(left, top, wide, room);
    page.rect("", area, Some(Line::Edge.into()), Some(Ink::White));
    if let Some(edge) = leaf.pocket_edge {
        let y = area.bottom - small(drawn(edge));
        page.line(at(area.left, y), at(area.right, y), Line::Edge);
    }
    let band = (wide * 2 / 5).max(6 * MM).min(wide);
    let strip = match turned {
        false => Area {
            right: area.left + band,
            ..area
        },
        true => Area {
            left: area.right - band,
            ..area
        },
    };
    page.rect("", strip, Some(Line::Thin.into()), Some(Ink::Pale));
    let edge = small(drawn(plan.holes.edge)).max(MM);
    for above in &plan.holes.heights {
        let x = match turned {
            false => strip.left + edge,
            true => strip.right - edge,
        };
        let y = area.bottom - small(drawn(*above));
        let radius = small(drawn(plan.holes.diameter) / 2).max(MM / 2);
        page.circle(
            "",
            at(x, y),
            Length::from_nm(radius),
            Some(Line::Thin.into()),
            Some(Ink::White),
        );
    }
    let x = area.right + 3 * MM;
    let face = if turned { "face down" } else { "face up" };
    for (n, word) in ["head", "grey: the template,", face].iter().enumerate() {
        let y = top + 4 * MM + 4_500_000 * n as i64;
        let room = beside.right - x;
        let word = paper::fitted(word, Face::Regular, 3 * MM, room);
        page.text(said(x, y, &word, 3 * MM));
    }
    page.text(said(x, area.bottom, "tail", 3 * MM));
    area.bottom
}
