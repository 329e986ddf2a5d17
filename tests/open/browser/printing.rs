//! What the page prints, both sides of a leaf on the screen, and the boxes of photos and designs.

use crate::page::Page;
use serde_json::json;

/// Until the album's text holds this.
fn writes(page: &Page, words: &str) {
    page.until(&format!("{words} in the text"), || {
        let text = page.find("#album-text").value();
        text.contains(words).then_some(())
    });
}

/// What the browser is given to keep: what it is called, how it begins.
#[test]
fn a_class_is_printed_from_the_page() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.says("It fits.");
    let watch = "const make = URL.createObjectURL;
        URL.createObjectURL = (blob) => { window.made = blob; return make(blob); };";
    page.run(watch, &json!([]));
    let albums = page.entry("How many albums");
    albums.type_over("three");
    page.button("Print for all of them").click();
    page.sees("#told", "Type a whole number");
    let [mut bytes, mut words] = [0, 0];
    for (typed, file) in [("1", "low-water.pdf"), ("3", "low-water-3.pdf")] {
        albums.type_over(typed);
        page.button("Print for all of them").click();
        page.sees("#told", &format!("{file} is saved"));
        let script = "const done = arguments[0];
            window.made.arrayBuffer().then((it) => done([it.byteLength, new TextDecoder('latin1').decode(it.slice(0, 5))]))";
        let said = page.run_and_wait(script, &json!([]));
        assert_eq!(said[1], "%PDF-");
        (words, bytes) = (bytes, said[0].as_u64().unwrap_or_default());
    }
    assert!(words > 0 && bytes != words, "a class gets pages of its own");
    page.is_clean();
}

#[test]
fn both_sides_of_a_leaf_are_seen_at_once() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    let faces = || {
        let script = "return [...document.querySelectorAll('#leaf .faces > div')].map((it) =>
            (it.querySelector('h3')?.innerText || '') + ': ' + [...it.querySelectorAll('.tab text')].map((tab) => tab.textContent).join(''))";
        page.run(script, &json!([]))
    };
    let one = faces();
    assert_eq!(one.as_array().map(Vec::len), Some(1), "{one}");
    page.find("#side").pick("both sides");
    page.until("two faces", || {
        (faces().as_array().map(Vec::len) == Some(2)).then_some(())
    });
    let two = faces();
    let [front, back] = [&two[0], &two[1]].map(|it| it.as_str().unwrap_or_default().to_owned());
    assert!(front.starts_with("Pocket side: A"), "{front}");
    assert!(back.starts_with("Back: "), "{back}");
    assert_ne!(front.split_once(": "), back.split_once(": "));
    // What is chosen has its boxes on the side that it is on, and on no other.
    page.button("back mat").click();
    page.find("#leaf .faces > div:last-child input.size");
    assert!(
        page.now("#leaf .faces > div:first-child input.size")
            .is_none()
    );
    page.show("both-sides");
}

#[test]
fn a_photo_and_how_photos_are_dealt_out_have_boxes() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    page.unfold("More about photo mat");
    page.entry("The photo lies").pick("across");
    writes(&page, "lies = \"across\"");
    page.entry("Its shape, such as 2:3").type_over("2:3");
    writes(&page, "shape = \"2:3\"");
    page.unfold("Photos");
    page.by_path("//label[normalize-space(.)=\"A photo may lie on its side\"]")
        .click();
    writes(&page, "turn = true");
    page.entry("Fewest pixels an inch").type_over("175");
    writes(&page, "coarsest = 175");
    let facing = page.entry("Photos that face each other: boat + pier; gull + crab");
    facing.type_over("boat + pier; gull");
    page.leave();
    page.sees("#untaken", "1 box not taken");
    facing.type_over("boat + pier; gull + crab");
    page.leave();
    writes(
        &page,
        "facing = [[\"boat\", \"pier\"], [\"gull\", \"crab\"]]",
    );
    page.entry("Photos that stay in a place: boat: shore 2; gull: cover")
        .type_over("boat: shore 2; gull: ledger 1");
    page.leave();
    writes(&page, "stays = { boat = \"shore 2\", gull = \"ledger 1\" }");
}

#[test]
fn a_pad_of_designs_has_boxes() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.unfold("Papers");
    page.entry("Designs of a pad, with commas between")
        .type_over("fern, moss");
    page.leave();
    writes(&page, "designs = [\"fern\", \"moss\"]");
    page.entry("Sheets of fern").type_over("3");
    writes(&page, "{ name = \"fern\", sheets = 3 }");
    page.entry("Moss is printed on").pick("both sides");
    writes(&page, "{ name = \"moss\", sides = 2 }");
}

/// A card of hers is chosen where it is put in, without looking for it.
#[test]
fn what_is_put_in_is_chosen_where_it_is_added() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("ledger");
    let before = page.find("#album-text").value();
    let one_more = page.by_path("//button[starts-with(normalize-space(.), \"One more there\")]");
    one_more.click();
    writes(&page, "name = \"piece\"");
    let kind = page
        .by_path("//div[@class=\"tucked\"][.//strong=\"piece\"]//select[not(ancestor::details)]");
    kind.pick("my card: tide table");
    page.until("one card more", || {
        let text = page.find("#album-text").value();
        let cards = |text: &str| text.matches("card = \"tide table\"").count();
        (cards(&text) == cards(&before) + 1).then_some(())
    });
}
