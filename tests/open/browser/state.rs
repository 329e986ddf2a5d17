//! What must never be lost: other programs, other tabs, a server that ends.

use crate::page::Page;
use std::fs;

/// The demo album with another count of leaves, not saved.
fn changed() -> Option<Page> {
    let page = Page::of("low-water")?;
    page.look_at("shore");
    page.unfold("About shore");
    page.entry("How many").type_over("3");
    page.leave();
    page.until("3 in the text", || {
        page.find("#album-text")
            .value()
            .contains("count = 3")
            .then_some(())
    });
    Some(page)
}

#[test]
fn a_file_that_another_program_changed_is_never_overwritten() {
    let Some(page) = changed() else { return };
    let theirs = page
        .read("low-water.toml")
        .replace("four Saturdays", "five Sundays");
    fs::write(page.file("low-water.toml"), &theirs).expect("a file");
    page.find("#save").click();
    page.says("low-water.toml");
    page.button("Keep both").click();
    page.until("a file of its own", || {
        page.file("low-water-2.toml").is_file().then_some(())
    });
    assert_eq!(page.read("low-water.toml"), theirs);
    assert!(page.read("low-water-2.toml").contains("count = 3"));
}

#[test]
fn a_file_that_changed_is_followed_if_nothing_is_unsaved() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    let theirs = page
        .read("low-water.toml")
        .replace("four Saturdays", "five Sundays");
    fs::write(page.file("low-water.toml"), theirs).expect("a file");
    page.sees("#bar", "five Sundays");
}

#[test]
fn a_server_that_ends_leaves_a_draft() {
    let Some(mut page) = changed() else { return };
    page.until("a draft", || {
        let mut all = fs::read_dir(page.file(".")).expect("a folder");
        let draft = all.any(|it| {
            let name = it.expect("a file").file_name();
            name.to_string_lossy().contains("draft")
        });
        draft.then_some(())
    });
    page.kill();
    page.says("tuckwright has stopped");
    page.again("low-water");
    page.button("Take it").click();
    page.look_at("shore");
    page.sees("#bag", "3 of small brown");
    assert!(page.read("low-water.toml").contains("count = 4"));
}

/// A second start leads to the first page; what is typed in one tab is seen in the other, and a box with the
/// caret keeps what stands there.
#[test]
fn two_tabs_show_the_same() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    let address = page.second("low-water");
    let (other, first) = page.window(&address);
    page.find(".verdict");
    page.look_at("shore");
    page.entry("Width of species tag").choose_all();
    page.switch(&first);
    page.entry("Height of species tag").type_over("5");
    page.leave();
    page.until("5 in", || {
        (page.entry("Height of species tag").value() == "5 in").then_some(())
    });
    page.switch(&other);
    page.until("5 in in the other tab", || {
        (page.entry("Height of species tag").value() == "5 in").then_some(())
    });
    let has = page.run("return document.activeElement.id", &serde_json::json!([]));
    assert_eq!(
        has.as_str(),
        page.entry("Width of species tag")
            .attribute("id")
            .as_deref()
    );
}

/// The key of the address is good once: a page without one says so and shows nothing.
#[test]
fn a_page_without_a_key_shows_nothing() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    let address = page.run("return location.origin", &serde_json::json!([]));
    let (_, first) = page.window(address.as_str().expect("an address"));
    page.says("needs a key of its own");
    assert!(!page.text("body").contains("Low Water"));
    page.switch(&first);
    page.says("It fits.");
}
