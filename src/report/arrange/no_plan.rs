//! Why photos have no places, and what to take back.

use crate::album::Photos;
use crate::arrange::photos::NoPlan;
use crate::plan::openings::PhotoSpot;
use crate::report::handout::{Block, Section};
use crate::report::words::{listed, plain};

pub(super) fn sections(why: &NoPlan, asked: &Photos, spots: &[PhotoSpot]) -> Vec<Section> {
    let said = match !asked.facing.is_empty() && !any_face(spots) {
        true => {
            "In this album no two places for photos face each other (proved), so take `facing` out."
                .to_owned()
        }
        false => why_not(why, asked),
    };
    vec![Section::new("", vec![Block::Text(said)])]
}

fn any_face(spots: &[PhotoSpot]) -> bool {
    let faces = |a: &PhotoSpot| {
        spots
            .iter()
            .any(|b| a.opening == b.opening && a.right != b.right)
    };
    spots.iter().any(faces)
}

fn why_not(why: &NoPlan, asked: &Photos) -> String {
    let NoPlan::Fixed { facing, stays } = why else {
        return "Undecided: the time was up before any arrangement was found. Give it more with `--time 600`.".to_owned();
    };
    let pairs = facing.iter().filter_map(|n| asked.facing.get(*n));
    let pairs = pairs.map(|[a, b]| format!("{} facing {}", a.value, b.value));
    let fixed = stays.iter().filter_map(|n| asked.stays.get(*n));
    let fixed = fixed.map(|(photo, place)| format!("{} at {}", photo.value, plain(&place.value)));
    let each: Vec<String> = pairs.chain(fixed).collect();
    let order = match asked.free {
        true => "",
        false => " The order of the photos counts too: `order = \"free\"` gives it up.",
    };
    match each.as_slice() {
        [] => format!(
            "What you fixed cannot all be kept (proved).{order} Take two or more of it back."
        ),
        [one] => format!(
            "What you fixed cannot all be kept (proved). Without {one}, the rest works.{order}"
        ),
        _ => format!(
            "What you fixed cannot all be kept (proved). Take back any one of these and the rest works: {}.{order}",
            listed(&each)
        ),
    }
}
