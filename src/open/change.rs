//! A change of the album's text as a browser asks for it: the new text, and the sentence of what was done.
//! What is refused changes nothing.

use super::read::{Reading, Refusal, sentence};
pub use super::sight::Begun;
use super::sight::{self, Slip};
use crate::album::field::{Field, FieldError, amounts, packet, with_unit};
use crate::album::{self, Album, PartPaper, Value};
use crate::explain::{Offer, still_there};
use crate::length::{Interval, Length, Ruler, parse_interval};
use crate::style::{self, Style};
use crate::supplies::text::BAGS;
use crate::text::{self, Files, Problem, Said, over};
use itertools::Itertools;

/// What a first album is called until it is saved.
pub const FIRST_TITLE: &str = "My album";

/// What its bag is called.
pub const FIRST_BAG: &str = "my bag";

/// Bytes of an album's text that a page may send.
pub const MOST_TEXT: usize = 256 * 1024;

/// The texts of the files that an album was read from, without its own.
pub(super) fn others(reading: &Reading) -> Vec<&str> {
    reading.files.others(reading.own)
}

/// Opens the text for a change.
pub(super) fn field<'t>(reading: &Reading, text: &'t str) -> Result<Field<'t>, Refusal> {
    let others = others(reading);
    Ok(Field::of(text, &others, reading.album.ruler)?)
}

/// A text and what was done.
pub type Done = (String, String);

/// One value gets another text.
pub fn set(reading: &Reading, text: &str, words: &[&str], typed: &str) -> Result<Done, Refusal> {
    // A style of the maker's own is a path, and none comes from a page.
    if words == ["style"] && style::shipped::shipped(typed).is_none() {
        return Err(Refusal::new("There is no such kind of album."));
    }
    // Whether a bare number is a length is the style's to say.
    let is_length = match words {
        ["set", name] => reading
            .style
            .quantities
            .iter()
            .any(|it| it.name == *name && matches!(it.value, Value::Length(_))),
        _ => false,
    };
    let with = match is_length {
        true => with_unit(typed, reading.album.ruler),
        false => typed.to_owned(),
    };
    let mut field = field(reading, text)?;
    field.set(words, &meant(words, &with))?;
    if let (["leaf", leaf, "insert", insert, "what"], false) = (words, typed == "photo") {
        let mut after = reading.album.clone();
        let inserts = after.leaves.iter_mut().filter(|it| it.name == *leaf);
        let inserts = inserts.flat_map(|it| &mut it.inserts);
        let photo = inserts.filter(|it| it.name == *insert);
        photo.for_each(|it| it.photo = None);
        // A wish for a photo that is none any more is gone, too.
        field.keep_wishes(|line| still_there(&reading.album, &after, line));
    }
    let mut said = said_of(words, typed);
    // What one costs stays so, where they turn out to be sold by the pack.
    if let (["bag", name, "pack"], Ok(pack @ 2..)) = (words, typed.trim().parse()) {
        let mut bags = reading.album.supplies.bags.iter();
        let bag = bags.find(|it| it.name == *name && it.pack.is_none_or(|pack| pack == 1));
        if let Some(price) = bag.and_then(|it| it.price?.times(pack)) {
            field.set(&["bag", name, "price"], &price.to_string())?;
            said.push_str(&format!(" for {price}"));
        }
    }
    Ok((field.text(), said))
}

/// A price may have its sign, and no 0 before its point; a share is of a hundred.
fn meant(words: &[&str], typed: &str) -> String {
    let money = |typed: &str| {
        let bare = typed.trim().trim_matches(['$', '€', '£', '¥', ' ']);
        let number = bare.starts_with('.') && bare.len() > 1;
        if number {
            format!("0{bare}")
        } else {
            bare.to_owned()
        }
    };
    match words {
        ["price", "fees"] => amounts(typed).into_iter().map(money).join(", "),
        ["price", "margin" | "markup"] | ["photos", "most_cut"] => {
            let (whole, rest) = typed.trim().split_once('.').unwrap_or((typed.trim(), "0"));
            let number = [whole, rest].map(|it| it.parse::<u32>());
            match number {
                [Ok(1..), Ok(_)] => format!("{} %", typed.trim()),
                _ => typed.to_owned(),
            }
        }
        ["price", "hour" | "price"] | [_, _, "price"] => money(typed),
        _ => typed.to_owned(),
    }
}

/// The text with the paper that something lies on, where that is all it lacks.
pub fn with_what_it_lacks(reading: &Reading, (text, said): &Done, slips: &[Slip]) -> Option<Done> {
    let mut field = field(reading, text).ok()?;
    let mut with = Vec::new();
    for slip in slips {
        let (path, value) = slip.instead.as_ref()?;
        let words = sight::field::split(path);
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        field.set(&words, value).ok()?;
        with.push(spaced(words.last()?));
    }
    Some((
        field.text(),
        format!("{said}, with {}", with.iter().unique().join(", ")),
    ))
}

/// Values or rows are taken away.
pub fn remove(reading: &Reading, text: &str, all: &[Vec<String>]) -> Result<Done, Refusal> {
    let mut field = field(reading, text)?;
    let mut names = Vec::new();
    let mut after = reading.album.clone();
    for words in all {
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        field.remove(&words)?;
        names.extend(match words[..] {
            ["accept", rule, _] => Some(format!("what is accepted of “{rule}”")),
            _ => words.last().map(|word| spaced(word)),
        });
        match words[..] {
            ["leaf", leaf] => after.leaves.retain(|it| it.name != leaf),
            ["leaf", leaf, "insert", insert] => {
                let leaf = after.leaves.iter_mut().find(|it| it.name == leaf);
                let inserts = leaf.map(|leaf| &mut leaf.inserts);
                inserts
                    .into_iter()
                    .for_each(|all| all.retain(|it| it.name != insert));
            }
            _ => {}
        }
    }
    // A wish for what is gone is gone too, and what was accepted of it.
    field.keep_wishes(|line| still_there(&reading.album, &after, line));
    let called = |album: &Album| -> Vec<String> {
        let leaves = album.leaves.iter();
        let all = leaves.flat_map(|leaf| {
            let inserts = leaf.inserts.iter().map(|it| spaced(&it.name));
            inserts.chain([spaced(&leaf.name)])
        });
        all.collect()
    };
    let mut gone = called(&reading.album);
    gone.retain(|name| !called(&after).contains(name));
    field.keep_accepted(|_, of| !speaks_of(of, &gone));
    Ok((field.text(), format!("{} taken out", names.join(", "))))
}

/// Whether what is accepted speaks of one of these, as `tag` or `shore: tag`.
pub(super) fn speaks_of(of: &str, names: &[String]) -> bool {
    of.split(": ").any(|word| names.contains(&spaced(word)))
}

/// Everything that is cut and has no paper yet gets this one.
pub fn paper_for_all(reading: &Reading, text: &str, paper: &str) -> Result<Done, Refusal> {
    let Reading { album, style, .. } = reading;
    if !album.supplies.papers.iter().any(|it| it.name == paper) {
        return Err(Refusal::new("There is no such paper."));
    }
    let mut field = field(reading, text)?;
    for leaf in &album.leaves {
        for part in style.papers_of_leaf() {
            let said = leaf.parts.iter().find(|(name, _)| name == part);
            let open = match said {
                Some((_, said)) => *said == PartPaper::Any,
                None => style.is_usual(part),
            };
            if open {
                field.set(&["leaf", &leaf.name, part], paper)?;
            }
        }
        let cut = leaf.inserts.iter().filter(|it| it.card.is_none());
        for insert in cut.filter(|it| it.papers.is_empty()) {
            field.set(
                &["leaf", &leaf.name, "insert", &insert.name, "paper"],
                paper,
            )?;
        }
    }
    Ok((
        field.text(),
        format!("{} for all that had no paper", text::seen(paper)),
    ))
}

/// A kind of leaf goes one place forward in the album, or one back.
pub fn shift(
    reading: &Reading,
    text: &str,
    words: &[String],
    forward: bool,
) -> Result<Done, Refusal> {
    let [list, name] = words else {
        return Err(FieldError::NoField.into());
    };
    let mut field = field(reading, text)?;
    field.shift(list, name, forward)?;
    let way = if forward { "forward" } else { "back" };
    Ok((field.text(), format!("{} moved {way}", spaced(name))))
}

/// Albums that are made together.
const MOST_ALBUMS: u64 = 1_000;

/// For how many albums something is asked, as it is typed.
///
/// # Errors
/// If it is no number of albums.
pub fn albums(typed: &str) -> Result<u64, Refusal> {
    let albums = typed.trim().parse().ok();
    let albums = albums.filter(|albums| (1..=MOST_ALBUMS).contains(albums));
    albums.ok_or_else(|| Refusal::new("Type a whole number from 1 to 1000."))
}

/// What a new row is.
pub struct New<'a> {
    pub what: &'a str,
    /// A row that it begins as a copy of.
    pub like: Option<&'a str>,
    /// The leaf of an insert, and where it goes.
    pub leaf: Option<&'a str>,
    pub place: &'a str,
    pub section: &'a str,
    /// The bag of a leaf.
    pub bag: &'a str,
    /// What is typed for it before it is there: its values by their keys.
    pub typed: Vec<(&'a str, &'a str)>,
}

/// A new row.
pub fn add(reading: &Reading, text: &str, new: &New<'_>) -> Result<Done, Refusal> {
    if let ("photo", [("lines", lines)]) = (new.what, &new.typed[..]) {
        return photos(reading, text, lines);
    }
    let mut field = field(reading, text)?;
    let album = &reading.album;
    let bag = match new.bag {
        "" => album
            .leaves
            .first()
            .and_then(|leaf| album.supplies.bags.get(leaf.bag))
            .map_or("", |bag| bag.name.as_str()),
        bag => bag,
    };
    let place = match new.place {
        "" => reading.style.usual_place(),
        place => place,
    };
    let said = match new.what {
        "leaf" if new.like.is_some() && new.bag.is_empty() => vec![],
        "leaf" => vec![("bag", bag)],
        "insert" => vec![("place", place), ("section", new.section)],
        _ => vec![],
    };
    let table: Vec<&str> = match (new.what, new.leaf) {
        ("insert", Some(leaf)) => vec!["leaf", leaf],
        ("insert", None) => return Err(Refusal::new("Choose a leaf first.")),
        ("photo", _) => vec!["photos"],
        _ => vec![],
    };
    // A thing without a gusset has none.
    let empty = new
        .typed
        .iter()
        .find(|(key, typed)| !["name", "gusset"].contains(key) && typed.trim().is_empty());
    if let Some((key, _)) = empty {
        return Err(Refusal::new(format!("Type its {key} first.")));
    }
    let name = field.add(&table, new.what, new.like, &said)?;
    if new.what == "leaf" {
        // There is one of it, however many there are of its like.
        field.set(&["leaf", &name, "count"], "")?;
    }
    let row: Vec<&str> = table.into_iter().chain([new.what, &name]).collect();
    for (key, typed) in new.typed.iter().filter(|(key, _)| *key != "name") {
        field.set(&[&row[..], &[key]].concat(), typed)?;
    }
    let called = new
        .typed
        .iter()
        .find(|(key, typed)| *key == "name" && !typed.trim().is_empty());
    if let Some((_, called)) = called {
        field.set(&[&row[..], &["name"]].concat(), called)?;
    }
    let name = called.map_or(name.as_str(), |(_, called)| called.trim());
    Ok((field.text(), format!("{} added", spaced(name))))
}

/// Photos, each in a line of its own with its size.
fn photos(reading: &Reading, text: &str, lines: &str) -> Result<Done, Refusal> {
    let mut field = field(reading, text)?;
    let lines = lines.lines().map(str::trim).filter(|line| !line.is_empty());
    let mut count = 0;
    for line in lines {
        let read = album::name_and_size(line);
        let (name, size) = read.ok_or_else(|| Refusal {
            help: Some("Type it behind the name: `boat 6 x 4 in`.".to_owned()),
            ..Refusal::new(format!("`{}` has no size.", text::seen(line)))
        })?;
        let new = field.add(&["photos"], "photo", None, &[])?;
        field.set(&["photos", "photo", &new, "size"], size)?;
        field.set(&["photos", "photo", &new, "name"], name)?;
        count += 1;
    }
    match count {
        0 => Err(Refusal::new("Type a photo with its size first.")),
        1 => Ok((field.text(), "1 photo added".to_owned())),
        n => Ok((field.text(), format!("{n} photos added"))),
    }
}

/// Every leaf is made of another bag.
pub fn of_bag(reading: &Reading, text: &str, bag: &str) -> Result<Done, Refusal> {
    if !reading.album.supplies.bags.iter().any(|it| it.name == bag) {
        return Err(Refusal::new("There is no such bag."));
    }
    let mut field = field(reading, text)?;
    for leaf in &reading.album.leaves {
        field.set(&["leaf", &leaf.name, "bag"], bag)?;
    }
    Ok((
        field.text(),
        format!("every leaf made of {}", text::seen(bag)),
    ))
}

/// A measure is changed by what is offered for it.
pub fn take_offer(reading: &Reading, text: &str, offer: &Offer) -> Result<Done, Refusal> {
    let by = match offer.more {
        true => offer.by.nm(),
        false => -offer.by.nm(),
    };
    let end = |end: Length| Length::from_nm(end.nm().saturating_add(by));
    let to = Interval::between(end(offer.from.least()), end(offer.from.most()));
    let to = to.ok_or_else(|| Refusal::new("That cannot be."))?;
    let (leaf, name) = (offer.leaf.as_str(), offer.measure.as_str());
    let said = reading.album.leaves.iter().find(|it| it.name == leaf);
    let given = |sizes: &[(Said<String>, Interval)]| sizes.iter().any(|(it, _)| it.value == name);
    let thing = name.rsplit_once('.');
    let words: Vec<&str> = match (thing, said) {
        (Some(("template", key)), _) => vec!["template", key],
        (_, Some(said)) if given(&said.given) => vec!["leaf", leaf, "given", name],
        (Some((insert, key)), Some(said)) if said.inserts.iter().any(|it| it.name == insert) => {
            let key = if key == "thickness" { "caliper" } else { key };
            vec!["leaf", leaf, "insert", insert, key]
        }
        (None, None) if reading.style.quantities.iter().any(|it| it.name == name) => {
            vec!["set", name]
        }
        _ => {
            let said = "That is a measure of what you have: it cannot be changed here. Try another bag or paper.";
            return Err(Refusal::new(said));
        }
    };
    set(
        reading,
        text,
        &words,
        &reading.album.ruler.show_interval(to),
    )
}

/// Words of a file as a maker reads them.
fn spaced(word: &str) -> String {
    text::seen(&word.replace(['_', '.'], " "))
}

/// What a change of one value comes to.
fn said_of(words: &[&str], typed: &str) -> String {
    let typed = text::seen(typed.trim());
    let typed: String = match typed.chars().count() > 40 {
        true => typed.chars().take(37).chain("...".chars()).collect(),
        false => typed,
    };
    let spaced_all = |words: &[&str]| words.iter().map(|word| spaced(word)).join(" ");
    let what = match words {
        ["album"] => "title".to_owned(),
        ["ruler"] => "ruler".to_owned(),
        ["style"] => "kind of album".to_owned(),
        ["prefer"] => return "what you want most".to_owned(),
        ["leaf", _, "insert", insert, rest @ ..] => {
            format!("{} {}", spaced(insert), spaced_all(rest))
        }
        [_, name, "given" | "measured", size] => format!("{} {}", spaced(size), spaced(name)),
        [_, rest @ ..] => spaced_all(rest),
        [] => String::new(),
    };
    match typed.is_empty() {
        true => format!("{what} left open"),
        false => format!("{what} {typed}"),
    }
}

impl Begun {
    /// The measures of no bag yet, in this step of the ruler.
    pub fn new(ruler: &str) -> Begun {
        Begun {
            ruler: ruler.to_owned(),
            ..Begun::default()
        }
    }

    /// Takes up one of them; an answer to a text that is no length.
    ///
    /// # Errors
    /// What to type instead.
    pub fn set(&mut self, key: &str, typed: &str) -> Result<(), Refusal> {
        let typed = typed.trim();
        if key == "ruler" {
            Ruler::parse(typed).map_err(|error| Refusal::new(sentence(&error.to_string())))?;
            self.ruler = typed.to_owned();
            return Ok(());
        }
        // What is no length leaves its box open.
        self.box_of(key)?.clear();
        let written = self.with_unit(typed);
        let ruler = Ruler::parse(&self.ruler).ok();
        if let (Some([width, gusset, height]), Some(ruler)) =
            (ruler.and_then(|ruler| packet(typed, ruler)), ruler)
        {
            self.width = ruler.show_interval(width);
            self.gusset = ruler.show_interval(gusset);
            self.height = ruler.show_interval(height);
            return Ok(());
        }
        match parse_interval(&written) {
            _ if typed.is_empty() => {}
            Err(error) => return Err(Refusal::helped(&error.to_string(), &error.help())),
            Ok(length) => {
                if let Some(wrong) = over(key, &written, length, BAGS) {
                    // In another unit it may be a bag.
                    typed.clone_into(self.box_of(key)?);
                    let help = wrong.help().unwrap_or_default();
                    return Err(Refusal::helped(&wrong.to_string(), &help));
                }
            }
        }
        typed.clone_into(self.box_of(key)?);
        Ok(())
    }

    fn box_of(&mut self, key: &str) -> Result<&mut String, Refusal> {
        match key {
            "width" => Ok(&mut self.width),
            "height" => Ok(&mut self.height),
            "gusset" => Ok(&mut self.gusset),
            _ => Err(FieldError::NoField.into()),
        }
    }

    fn with_unit(&self, typed: &str) -> String {
        match Ruler::parse(&self.ruler) {
            Ok(ruler) => with_unit(typed, ruler),
            Err(_) => typed.to_owned(),
        }
    }

    /// A first album of that bag, once its width and its height are there: one leaf, and the largest photo
    /// that goes in.
    pub fn album(&self) -> Option<Done> {
        let ruler = Ruler::parse(&self.ruler).ok()?;
        let side = |typed: &str| parse_interval(&self.with_unit(typed)).ok();
        let size = ruler.type_size(side(&self.width)?, side(&self.height)?);
        let style = style::shipped::SHIPPED.first().map(|(name, _)| *name)?;
        let read = shipped(style)?;
        let place = read.usual_place();
        let gusset = match self.gusset.is_empty() {
            true => String::new(),
            false => format!(
                "gusset = \"{}\"\n",
                self.with_unit(&self.gusset).replace('"', " in")
            ),
        };
        let ruler = &self.ruler;
        let text = format!(
            "album = \"{FIRST_TITLE}\"\nstyle = \"{style}\"\nruler = \"{ruler}\"\nprefer = [\"largest photo_mat.photo\"]\n\n\
             [[bag]]\nname = \"{FIRST_BAG}\"\nsize = \"{size}\"\n{gusset}\n\
             [[leaf]]\nname = \"leaf\"\nbag = \"{FIRST_BAG}\"\n\n\
             [[leaf.insert]]\nname = \"photo_mat\"\nplace = \"{place}\"\nphoto = true\n"
        );
        Some((text, format!("bag {size}")))
    }
}

/// A kind of album that comes with the program, with all that it may take over.
pub(super) fn shipped(kind: &str) -> Option<Style> {
    let named = Said::nowhere(album::StyleName::Shipped(kind.to_owned()));
    let mut nothing = |_: &str| Err(String::new());
    style::named::read(&mut Files::default(), &named, &mut nothing).ok()
}
