//! Sizes by their names, as they are read: width and height together, the style's own words.

use crate::length::{Interval, Ruler};
use crate::report::words::{plain, size};
use crate::style::Style;

/// `shore: photo_mat.photo` as it is read: `shore: photo mat's photo`.
pub fn thing(name: &str) -> String {
    match name.strip_suffix(PHOTO) {
        Some(insert) => format!("{}'s photo", plain(insert)),
        None => plain(name),
    }
}

/// What ends the name of a photo.
const PHOTO: &str = ".photo";

/// `photo_mat.photo.width` as it is read: `the width of photo mat's photo`.
pub fn called(style: &Style, name: &str) -> String {
    let (leaf, size) = match name.split_once(": ") {
        Some((leaf, size)) => (format!(" ({leaf})"), size),
        None => (String::new(), name),
    };
    let said = match (&style.tells(size).called, size.rsplit_once('.')) {
        (Some(called), _) => called.clone(),
        (None, Some(("template", side))) => {
            let hole = style.hole().map_or("hole", |mark| mark.titles[0].as_str());
            format!("the {} of a {hole}", plain(side))
        }
        (None, Some((of, side))) => format!("the {} of {}", plain(side), thing(of)),
        (None, None) => plain(size),
    };
    format!("{said}{leaf}")
}

/// Sizes in their order, each thing once: `photo mat 4 1/2 x 8 in`.
pub fn listed(style: &Style, ruler: Ruler, sizes: &[(String, Interval)]) -> String {
    let mut said = Vec::new();
    for (name, value) in sizes {
        let shown = ruler.show_interval(*value);
        said.push(match (&style.tells(name).shown, name.rsplit_once('.')) {
            (Some(words), _) => words.replace("{it}", &shown),
            (None, Some((of, "width"))) => match other(sizes, of, "height") {
                Some(height) => format!("{} {}", thing(of), size(ruler, *value, height)),
                None => format!("{} {shown} wide", thing(of)),
            },
            // Told with its width.
            (None, Some((of, "height"))) if other(sizes, of, "width").is_some() => continue,
            (None, Some((of, "height"))) => format!("{} {shown} high", thing(of)),
            // What keeps a photo's shape is no size to cut.
            (None, Some((of, _))) if of.ends_with(PHOTO) => continue,
            (None, _) => format!("{} {shown}", plain(name)),
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
    let thing = |name: &str| match name.rsplit_once('.') {
        Some((of, "width" | "height")) => of.to_owned(),
        _ => name.to_owned(),
    };
    let changed = sizes.iter().filter(|one| !first.contains(one));
    let changed: Vec<String> = changed.map(|(name, _)| thing(name)).collect();
    let tells = |name: &str| changed.contains(&thing(name));
    sizes
        .iter()
        .filter(|(name, _)| tells(name))
        .cloned()
        .collect()
}
