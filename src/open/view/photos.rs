//! The photos that an album names, and how they are dealt out.

use super::form::{At, Holds, button, entry, id, number, select, shared, tick};
use crate::album::{Named, PhotosIn};
use crate::open::sight::{Read, field};
use itertools::Itertools;
use maud::{Markup, html};
use serde_json::json;

/// How the photos that the album names are dealt out.
pub fn photos(read: Read<'_>) -> Markup {
    let lines = id(&["new", "photo", "lines"]);
    let add = html! {
        details class="new" data-key="new-photos" {
            summary { "Add photos" }
            div class="entry" {
                label for=(lines) { "One a line, with its size: boat 6 x 4 in, net 4032 x 3024 or gull 3:2" }
                textarea id=(lines) rows="4" autocomplete="off" spellcheck="false" {}
            }
            button type="button" data-post="/add" data-body=(json!({ "what": "photo" })) data-with=(format!("its-lines={lines}")) { "Add them" }
        }
    };
    let Some(photos) = &read.album.photos else {
        return html! { details data-key="photos" { summary { "Photos" span class="quiet" { " none named" } } (add) } };
    };
    let here: &[Named] = match &photos.from {
        PhotosIn::Here(all) => all,
        _ => &[],
    };
    let from = match photos.from.file() {
        Some(file) => file.value.clone(),
        None => here.iter().map(|it| it.name.value.as_str()).join(", "),
    };
    let of = |key| At::of(&["photos", key]);
    let two =
        |all: [(&str, &str); 2]| all.map(|(value, words)| (value.to_owned(), words.to_owned()));
    let order = two([("kept", "as they come"), ("free", "any")]);
    let least = two([
        ("all", "of all photos together"),
        ("worst", "of the photo that loses most"),
    ]);
    let cut = match photos.most_cut {
        (above, below) if above == below => String::new(),
        (above, below) => shared(above, below),
    };
    let facing = photos.facing.iter();
    let mut facing = facing.map(|pair| pair.iter().map(|it| it.value.as_str()).join(" + "));
    let facing = facing.join("; ");
    let stays = photos.stays.iter();
    let mut stays = stays.map(|(photo, place)| format!("{}: {}", photo.value, place.value));
    let stays = stays.join("; ");
    html! {
        details data-key="photos" {
            summary { "Photos" span class="quiet" { " " (from) } }
            @if photos.from.file().is_none() { (add) }
            @for (n, photo) in here.iter().enumerate() {
                @let name = &photo.name.value;
                @let its = |key| At::called(&format!("f-photo{n}-{key}"), &["photos", "photo", name, key]);
                fieldset data-key=(format!("photo{n}")) {
                    legend { (name) }
                    div class="two" {
                        (entry("Its name", its("name"), Holds::Name, name, ""))
                        (entry("Its size or shape", its("size"), Holds::Name, photo.size.as_ref().map_or("", |it| &it.value), "not said"))
                    }
                    (button(&format!("Take {name} out"), "/remove", &json!({ "field": field::join(&["photos", "photo", name]) })))
                }
            }
            (select("Their order", of("order"), &order, if photos.free { "free" } else { "kept" }))
            (tick("A photo may lie on its side", of("turn"), photos.turn))
            (tick("A place may take the shape of its photo", of("resize"), photos.resize))
            div class="two" {
                (entry("Most of a photo that may be cut off", of("most_cut"), Holds::Words, &cut, "any share"))
                (entry("Fewest pixels an inch", of("coarsest"), Holds::Count, &number(photos.coarsest), "any"))
            }
            (select("Cut off as little as can be", of("for"), &least, if photos.worst { "worst" } else { "all" }))
            (entry("Photos that face each other: boat + pier; gull + crab", of("facing"), Holds::Name, &facing, "none"))
            (entry("Photos that stay in a place: boat: shore 2; gull: cover", of("stays"), Holds::Name, &stays, "none"))
        }
    }
}
