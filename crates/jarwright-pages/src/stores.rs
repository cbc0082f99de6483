//! Stores: what is bought, at which price, how much is on hand; ingredients of one's own with analysis.

use jarwright_kitchen::files::read_stores;
use jarwright_kitchen::ports::Kept;
use jarwright_reference::Kind;
use maud::{Markup, html};

use crate::form::Form;
use crate::frame::Place;
use crate::kept_form::{Asks, At, Entry, Group, Only};
use crate::reader::Reader;
use crate::words::Words;

const fn entry(key: &'static str, label: &'static str, example: &'static str, asks: Asks) -> Entry {
    Entry {
        key,
        label,
        example,
        asks,
    }
}

const GROUPS: &[Group] = &[Group {
    title: "stock.items",
    at: At::Rows(
        "item",
        &["ingredient", "name", "pack", "price", "on_hand"],
        "stock.another",
    ),
    entries: &[
        entry("ingredient", "stock.ingredient", "sugar", Asks::Text),
        entry("name", "stock.name", "", Asks::Text),
        entry("pack", "stock.pack", "10 kg, 946 ml, 12 large", Asks::Text),
        entry("price", "stock.price", "13.90", Asks::Text),
        entry("on_hand", "stock.on_hand", "4 kg", Asks::Text),
        entry("trim_yield", "stock.trim_yield", "92 %", Asks::Text),
        entry("lot", "stock.lot", "", Asks::Text),
        entry("supplier", "stock.supplier", "", Asks::Text),
        entry("use_by", "stock.use_by", "", Asks::Day),
        entry("kind", "stock.kind", "", Asks::OneOf(kinds)),
        entry("density", "stock.density", "0.9 g/ml", Asks::Text),
        entry("allergens", "stock.allergens", "egg, milk", Asks::List),
        entry("label_name", "stock.label_name", "", Asks::Text),
        entry("analysis.water", "stock.water", "42 %", Asks::Text),
        entry("analysis.protein", "stock.protein", "0.6 %", Asks::Text),
        entry("analysis.fat", "stock.fat", "0.2 %", Asks::Text),
        entry("analysis.carbohydrate", "stock.carbohydrate", "52 %", Asks::Text),
        entry("analysis.fibre", "stock.fibre", "4.5 %", Asks::Text),
        entry("analysis.sugars", "stock.sugars", "48 %", Asks::Text),
        entry("analysis.ash", "stock.ash", "0.3 %", Asks::Text),
        entry("analysis.salt", "stock.salt", "0.1 %", Asks::Text),
        entry("analysis.citric_acid", "stock.citric", "2.4 %", Asks::Text),
        entry("analysis.malic_acid", "stock.malic", "", Asks::Text),
        entry("analysis.tartaric_acid", "stock.tartaric", "", Asks::Text),
        entry("analysis.acetic_acid", "stock.acetic", "", Asks::Text),
        entry("analysis.lactic_acid", "stock.lactic", "", Asks::Text),
        entry("analysis.titratable_acidity", "stock.titratable", "2.2 %", Asks::Text),
        entry("analysis.titrated_as", "stock.titrated_as", "citric", Asks::Text),
        entry("analysis.ph", "stock.ph", "2.8", Asks::Number),
        entry("analysis.brix", "stock.brix", "12 Bx", Asks::Text),
    ],
}];

/// The stores' page.
pub(crate) static PAGE: Only = Only {
    kind: Kept::Stores,
    place: Place::Stores,
    address: "/stores",
    title: "place.stores",
    about: "stock.about",
    groups: GROUPS,
    shut: true,
    blank: |_| "",
    read: |text| read_stores("stores", text).map(drop),
    above,
};

fn above(_: &str, _: Reader) -> Markup {
    html! {
        datalist id="ingredients" {
            @for row in jarwright_reference::ingredients() { option value=(row.name) {} }
        }
    }
}

fn kinds(_: &Form, words: Words) -> Vec<(String, String)> {
    std::iter::once((String::new(), words.say("stock.known").to_owned()))
        .chain(
            Kind::ALL
                .iter()
                .map(|kind| (kind.word().to_owned(), kind.word().to_owned())),
        )
        .collect()
}
