//! Sizes by their names, as they are read: width and height together, holes in words.

use crate::length::{Interval, Ruler};
use crate::report::words::{plain, size};

/// `shore: photo_mat.photo` as it is read: `shore: photo mat's photo`.
pub fn thing(name: &str) -> String {
    match name.strip_suffix(".photo") {
        Some(insert) => format!("{}'s photo", plain(insert)),
        None => plain(name),
    }
}

/// `photo_mat.photo.width` as it is read: `the width of photo mat's photo`.
pub fn called(name: &str) -> String {
    let (leaf, size) = match name.split_once(": ") {
        Some((leaf, size)) => (format!(" ({leaf})"), size),
        None => (String::new(), name),
    };
    let said = match size {
        "template.edge" => "the holes' distance from the spine edge".to_owned(),
        "template.first" => "the lowest hole's height above the tail".to_owned(),
        "template.pitch" => "the hole spacing".to_owned(),
        "template.diameter" => "the diameter of a hole".to_owned(),
        _ => match size.rsplit_once('.') {
            Some((of, side)) => format!("the {} of {}", plain(side), thing(of)),
            None => plain(size),
        },
    };
    format!("{said}{leaf}")
}

/// Sizes in their order, each thing once: `photo mat 4 1/2 x 8 in`.
pub fn listed(ruler: Ruler, sizes: &[(String, Interval)]) -> String {
    let mut said = Vec::new();
    for (name, value) in sizes {
        let shown = ruler.show_interval(*value);
        said.push(match name.as_str() {
            "template.edge" => format!("hole centres {shown} from the spine edge"),
            "template.first" => format!("the lowest hole {shown} above the tail"),
            "template.pitch" => format!("hole spacing {shown}"),
            _ => match name.rsplit_once('.') {
                Some((of, "width")) => match other(sizes, of, "height") {
                    Some(height) => format!("{} {}", thing(of), size(ruler, *value, height)),
                    None => format!("{} {shown} wide", thing(of)),
                },
                // Told with its width.
                Some((of, "height")) if other(sizes, of, "width").is_some() => continue,
                Some((of, "height")) => format!("{} {shown} high", thing(of)),
                // A whole multiple that keeps a photo's shape: no size to cut.
                Some((_, "unit")) => continue,
                _ => format!("{} {shown}", plain(name)),
            },
        });
    }
    said.join("; ")
}

fn other(sizes: &[(String, Interval)], of: &str, side: &str) -> Option<Interval> {
    let wanted = format!("{of}.{side}");
    let found = sizes.iter().find(|(name, _)| *name == wanted);
    found.map(|(_, value)| *value)
}

/// The sizes that another list has too but with another value, and those that it has not; a thing
/// of which one side differs is shown with both.
pub fn differing(
    sizes: &[(String, Interval)],
    first: &[(String, Interval)],
) -> Vec<(String, Interval)> {
    let thing = |name: &str| name.rsplit_once('.').map_or(name, |(of, _)| of).to_owned();
    let changed: Vec<String> = sizes
        .iter()
        .filter(|one| !first.contains(one))
        .map(|(name, _)| match name.starts_with("template.") {
            true => name.clone(),
            false => thing(name),
        })
        .collect();
    let tells = |name: &String| changed.contains(name) || changed.contains(&thing(name));
    sizes
        .iter()
        .filter(|(name, _)| tells(name))
        .cloned()
        .collect()
}
