//! A first bag: two numbers, and the leaf is there.

use crate::page::Page;

const HEIGHT: &str = "Height, from its bottom to its opening";

/// A flat bag of 5 1/8 by 8 1/2 in.
fn first() -> Option<Page> {
    let page = Page::empty()?;
    page.says("Measure a flat bag");
    page.entry("Width").keys("5 1/8");
    page.entry(HEIGHT).keys("8 1/2");
    page.sees("#cut", "5 1/8 × 8 1/2 in");
    page.says("It fits.");
    Some(page)
}

#[test]
fn two_numbers_make_a_leaf() {
    let Some(page) = first() else { return };
    page.find("#leaf svg.leaf");
    page.sees("#bag", "Largest photo");
    page.sees("#cut", "photo mat");
    assert_eq!(page.find("#f-bag-height").value(), "8 1/2");
    // No word of a unit was typed: that of the ruler was meant.
    let width = page.entry("Width");
    page.leave();
    page.until("the width with its unit", || {
        (width.value() == "5 1/8 in").then_some(())
    });
    page.is_clean();
    page.show("first-bag");
}

#[test]
fn a_gusset_makes_slots() {
    let Some(page) = first() else { return };
    let before = page.drawing();
    page.entry("Gusset, opened").keys("3 1/8");
    page.until("another drawing", || {
        (page.drawing() != before).then_some(())
    });
    page.says("It fits.");
    page.leave();
    let gusset = page.entry("Gusset, opened");
    page.until("the gusset", || {
        (gusset.value() == "3 1/8 in").then_some(())
    });
}

/// However a maker writes it.
#[test]
fn millimetres_and_fractions_are_read() {
    let Some(page) = first() else { return };
    for (typed, shown) in [
        ("130 mm", "130 mm"),
        ("5⅜", "5 3/8 in"),
        ("5 1/4\"", "5 1/4 in"),
        ("5.5 in", "5 1/2 in"),
    ] {
        let width = page.entry("Width");
        width.type_over(typed);
        page.leave();
        page.until(shown, || {
            (page.entry("Width").value() == shown).then_some(())
        });
    }
    page.says("It fits.");
}

#[test]
fn half_a_number_keeps_the_drawing() {
    let Some(page) = first() else { return };
    page.entry("Width").type_over("4");
    page.until("4 in", || {
        page.text("#cut").contains("4 × 8 1/2 in").then_some(())
    });
    let before = page.drawing();
    page.press(" 3/");
    page.sees("#bag", "Still typing: the drawing keeps 4 in.");
    assert_eq!(page.drawing(), before);
    page.says("It fits.");
    page.press("8");
    page.until("another drawing", || {
        (page.drawing() != before).then_some(())
    });
    assert!(!page.text("#bag").contains("Still typing"));
}

/// `5` on the way to `5 1/4` may not fit; that is never shown.
#[test]
fn a_number_on_its_way_does_not_flash() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    let watch = "window.seen = []; new MutationObserver(() => {
        const it = document.querySelector('.verdict'); if (it) seen.push(it.innerText); })
        .observe(document.getElementById('strip'), { childList: true, subtree: true, characterData: true, attributes: true })";
    page.run(watch, &serde_json::json!([]));
    // 1 in is too narrow for the leaf's pieces.
    page.entry("Width").type_over("10 1/4");
    page.until("the new width", || {
        page.text("#cut").contains("10 1/8").then_some(())
    });
    page.says("It fits.");
    let seen = page.run("return seen.join('|')", &serde_json::json!([]));
    assert!(
        !seen.as_str().unwrap_or_default().contains("Does not fit"),
        "{seen}"
    );
}

#[test]
fn a_comma_is_asked_about() {
    let Some(page) = first() else { return };
    page.entry("Width").type_over("11,1");
    page.leave();
    page.button("Use 11.1").click();
    page.until("11.1 in", || {
        page.find("#album-text")
            .value()
            .contains("\"11.1 x")
            .then_some(())
    });
}

#[test]
fn an_emptied_box_is_worked_out_again() {
    let Some(page) = Page::of("low-water") else {
        return;
    };
    page.look_at("shore");
    let height = page.entry("Height of species tag");
    height.type_over("");
    page.leave();
    page.until("no word of it in the file", || {
        let text = page.find("#album-text").value();
        (!text.contains("height = \"4 in\"")).then_some(())
    });
    page.says("It fits.");
    let height = page.entry("Height of species tag");
    assert_eq!(height.value(), "");
    assert!(
        height
            .attribute("placeholder")
            .is_some_and(|it| it.ends_with(" in"))
    );
    page.find("#undo").click();
    page.until("4 in", || {
        (page.entry("Height of species tag").value() == "4 in").then_some(())
    });
}

#[test]
fn the_unit_is_chosen_once() {
    let Some(page) = first() else { return };
    page.entry("I measure in").pick("millimetres, to 1");
    page.until("millimetres in the list", || {
        page.text("#cut table").contains(" mm").then_some(())
    });
    // A bare number is now in millimetres.
    page.entry("Width").type_over("150");
    page.until("150 mm", || {
        page.find("#album-text")
            .value()
            .contains("\"150 x")
            .then_some(())
    });
}

#[test]
fn another_kind_of_album_is_chosen() {
    let Some(page) = first() else { return };
    page.leave();
    page.unfold("Kind of album");
    page.entry("Kind of album")
        .pick("Upright leaves between two boards in a wrap");
    page.until("the kind in the text", || {
        let text = page.find("#album-text").value();
        text.contains("style = \"boards\"").then_some(())
    });
}
