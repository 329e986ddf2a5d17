//! Papers to choose from, for what is cut of one.

use super::form::{At, capital, plain, select};
use crate::album::PartPaper;
use crate::open::sight::Read;
use maud::{Markup, html};

/// Papers to choose from; of several that are named together the choice says so.
pub fn paper_names(read: Read<'_>, chosen: &[usize], none: &str) -> Vec<(String, String)> {
    let papers = &read.album.supplies.papers;
    let mut all = vec![(String::new(), none.to_owned())];
    if chosen.len() > 1 {
        let names = chosen.iter().filter_map(|at| papers.get(*at));
        let names = names.map(|it| it.name.as_str()).collect::<Vec<_>>();
        all.push((first_paper(read, chosen), names.join(" or ")));
    }
    all.extend(papers.iter().map(|it| (it.name.clone(), it.name.clone())));
    all
}

pub fn first_paper(read: Read<'_>, chosen: &[usize]) -> String {
    let papers = &read.album.supplies.papers;
    match chosen {
        [] => String::new(),
        [one] => papers.get(*one).map_or(String::new(), |it| it.name.clone()),
        // As the file has it: it stays unless something else is chosen.
        _ => "(several)".to_owned(),
    }
}

/// The paper of a part: one of hers, any, or none; `usual` is there if nothing is said of it.
pub fn paper_box(
    read: Read<'_>,
    label: &str,
    at: At,
    said: Option<&PartPaper>,
    usual: bool,
) -> Markup {
    let (papers, chosen): (&[usize], String) = match said {
        Some(PartPaper::Papers(all)) => (all, first_paper(read, all)),
        Some(PartPaper::None) => (&[], "none".to_owned()),
        Some(PartPaper::Any) => (&[], "any".to_owned()),
        None if usual => (&[], "any".to_owned()),
        None => (&[], "none".to_owned()),
    };
    let none = ("none".to_owned(), "none".to_owned());
    let papers = paper_names(read, papers, "any paper").into_iter();
    let papers = papers.map(|(value, words)| match value.is_empty() {
        true => ("any".to_owned(), words),
        false => (value, words),
    });
    let all: Vec<(String, String)> = [none].into_iter().chain(papers).collect();
    select(label, at, &all, &chosen)
}

/// The paper of what belongs to the album and to no leaf: boards, a wrap.
pub fn of_album(read: Read<'_>) -> Markup {
    let said = &read.album.own.parts;
    html! {
        @for name in read.style.papers_of_album() {
            @let part = read.style.of_album_called(name).next();
            @let label = part.map_or_else(|| plain(name), |part| capital(&part.title));
            @let own = said.iter().find(|(it, _)| it == name).map(|(_, it)| it);
            (paper_box(read, &label, At::of(&["papers", name]), own, read.style.is_usual(name)))
        }
    }
}
