//! Equipment: pots, burners, baths, jars, people, instruments, and where the kitchen stands.

use jarwright_kitchen::files::read_kitchen;
use jarwright_kitchen::ports::Kept;
use maud::{Markup, html};

use crate::form::Form;
use crate::frame::Place;
use crate::house::House;
use crate::in_hand::glance;
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

const DAYS: &[(&str, &str)] = &[
    ("mon", "gear.mon"),
    ("tue", "gear.tue"),
    ("wed", "gear.wed"),
    ("thu", "gear.thu"),
    ("fri", "gear.fri"),
    ("sat", "gear.sat"),
    ("sun", "gear.sun"),
];

const COLD: &[Entry] = &[
    entry("name", "gear.name", "", Asks::Text),
    entry("keeps", "gear.keeps", "4 C, 39 F", Asks::Text),
    entry("power", "gear.cold_power", "0.4 kW", Asks::Text),
    entry("shelf", "gear.shelf", "1.2 m2", Asks::Text),
];

const GROUPS: &[Group] = &[
    Group {
        title: "gear.kitchen",
        at: At::Top,
        entries: &[
            entry("name", "gear.name", "", Asks::Text),
            entry("altitude", "gear.altitude", "120 m, 400 ft", Asks::Text),
            entry("barometer", "gear.barometer", "1013 hPa", Asks::Text),
            entry("water_supply", "gear.water_supply", "15 C, 60 F", Asks::Text),
            entry("room", "gear.room", "21 C, 70 F", Asks::Text),
            entry("scale_step", "gear.scale_step", "5 g", Asks::Text),
        ],
    },
    Group {
        title: "gear.people",
        at: At::Top,
        entries: &[
            entry("people", "gear.hands", "2", Asks::Count),
            entry("works", "gear.works", "", Asks::AnyOf(DAYS)),
            entry("currency", "gear.currency", "USD, EUR, GBP", Asks::Text),
            entry("labour_per_hour", "gear.labour", "18.00", Asks::Text),
            entry("energy_per_kwh", "gear.energy", "0.30", Asks::Text),
        ],
    },
    Group {
        title: "gear.hours",
        at: At::Table("hours"),
        entries: &[
            entry("open", "gear.opens", "07:00", Asks::Text),
            entry("close", "gear.closes", "19:00", Asks::Text),
        ],
    },
    Group {
        title: "gear.burners",
        at: At::Rows("burner", &["name", "fuel", "power"], "gear.another_burner"),
        entries: &[
            entry("name", "gear.name", "", Asks::Text),
            entry("fuel", "gear.fuel", "", Asks::OneOf(fuels)),
            entry("power", "gear.power", "2.4 kW", Asks::Text),
            entry("efficiency", "gear.efficiency", "38 %", Asks::Text),
        ],
    },
    Group {
        title: "gear.pots",
        at: At::Rows("pot", &["name", "holds", "burner"], "gear.another_pot"),
        entries: &[
            entry("name", "gear.name", "", Asks::Text),
            entry("kind", "gear.kind", "", Asks::OneOf(pots)),
            entry("holds", "gear.holds", "6 L", Asks::Text),
            entry("diameter", "gear.diameter", "28 cm, 11 in", Asks::Text),
            entry("weight", "gear.weight", "2 kg", Asks::Text),
            entry("burner", "gear.burner", "", Asks::OneOf(burners)),
        ],
    },
    Group {
        title: "gear.baths",
        at: At::Rows("bath", &["name", "water", "burner"], "gear.another_bath"),
        entries: &[
            entry("name", "gear.name", "", Asks::Text),
            entry("water", "gear.water", "18 L", Asks::Text),
            entry("diameter", "gear.diameter", "33 cm, 13 in", Asks::Text),
            entry("weight", "gear.weight", "3 kg", Asks::Text),
            entry("burner", "gear.burner", "", Asks::OneOf(burners)),
            entry("jars", "gear.in_one_load", "", Asks::Counts(sizes)),
        ],
    },
    Group {
        title: "gear.jars",
        at: At::Rows("jar", &["size", "price", "on_hand"], "gear.another_jar"),
        entries: &[
            entry("size", "gear.size", "", Asks::OneOf(jars)),
            entry("price", "gear.price", "0.95", Asks::Text),
            entry("lid_price", "gear.lid_price", "0.16", Asks::Text),
            entry("on_hand", "gear.on_hand", "96", Asks::Count),
        ],
    },
    Group {
        title: "gear.refrigerators",
        at: At::Rows("refrigerator", &["name", "keeps"], "gear.another_refrigerator"),
        entries: COLD,
    },
    Group {
        title: "gear.freezer",
        at: At::Table("freezer"),
        entries: COLD,
    },
    Group {
        title: "gear.oven",
        at: At::Table("oven"),
        entries: &[
            entry("power", "gear.power", "3 kW", Asks::Text),
            entry("trays", "gear.trays", "2", Asks::Count),
        ],
    },
    Group {
        title: "gear.instruments",
        at: At::Rows(
            "instrument",
            &["name", "plus_minus", "checked"],
            "gear.another_instrument",
        ),
        entries: &[
            entry("name", "gear.name", "", Asks::Text),
            entry("kind", "gear.kind", "", Asks::OneOf(instruments)),
            entry("plus_minus", "gear.plus_minus", "1 C, 0.02, 0.5 Bx, 5 g", Asks::Text),
            entry("checked", "gear.checked", "", Asks::Day),
        ],
    },
    Group {
        title: "gear.losses",
        at: At::Table("losses"),
        entries: &[
            entry("seal_failure", "gear.seal_failure", "5 %", Asks::Text),
            entry("pot", "gear.left_in_pot", "40 g", Asks::Text),
            entry("sieve", "gear.left_in_sieve", "25 g", Asks::Text),
        ],
    },
    Group {
        title: "gear.times",
        at: At::Table("times"),
        entries: &[
            entry("fill_jars_per_min", "gear.fills", "2.5", Asks::Number),
            entry("unload_reload", "gear.unload", "10 min", Asks::Text),
        ],
    },
];

/// The equipment's page.
pub(crate) static PAGE: Only = Only {
    kind: Kept::Kitchen,
    place: Place::Equipment,
    address: "/equipment",
    title: "place.equipment",
    about: "gear.about",
    groups: GROUPS,
    shut: false,
    blank: example,
    read: |text| read_kitchen("equipment", text).map(drop),
    above,
};

fn example(house: &House) -> &'static str {
    house.example.kitchen
}

fn above(text: &str, reader: Reader) -> Markup {
    match read_kitchen("equipment", text) {
        Ok(kitchen) => glance(reader, &kitchen),
        Err(_) => html! { p { (reader.words().say("gear.faulty")) } },
    }
}

fn said(words: Words, choices: &[(&str, &'static str)]) -> Vec<(String, String)> {
    choices
        .iter()
        .map(|(word, key)| ((*word).to_owned(), words.say(key).to_owned()))
        .collect()
}

fn fuels(_: &Form, words: Words) -> Vec<(String, String)> {
    said(
        words,
        &[
            ("", "gear.choose"),
            ("gas", "gear.gas"),
            ("coil", "gear.coil"),
            ("induction", "gear.induction"),
        ],
    )
}

fn pots(_: &Form, words: Words) -> Vec<(String, String)> {
    said(
        words,
        &[
            ("", "gear.choose"),
            ("bowl-over-steam", "gear.bowl_over_steam"),
            ("open-pan", "gear.open_pan"),
            ("kettle", "gear.kettle"),
        ],
    )
}

fn instruments(_: &Form, words: Words) -> Vec<(String, String)> {
    said(
        words,
        &[
            ("", "gear.choose"),
            ("thermometer", "gear.thermometer"),
            ("ph-meter", "gear.ph_meter"),
            ("refractometer", "gear.refractometer"),
            ("scale", "gear.scale"),
        ],
    )
}

fn burners(form: &Form, words: Words) -> Vec<(String, String)> {
    std::iter::once((String::new(), words.say("gear.choose").to_owned()))
        .chain(
            (0..form.rows("burner"))
                .map(|row| form.get(&format!("burner.{row}.name")))
                .map(|name| (name.clone(), name)),
        )
        .collect()
}

fn jars(_: &Form, words: Words) -> Vec<(String, String)> {
    std::iter::once((String::new(), words.say("gear.choose").to_owned()))
        .chain(
            jarwright_reference::jars()
                .iter()
                .map(|jar| (jar.name.clone(), jar.name.replace('-', " "))),
        )
        .collect()
}

/// Jars of the kitchen, and any that a bath names beside.
fn sizes(form: &Form) -> Vec<String> {
    let mut sizes: Vec<String> = (0..form.rows("jar"))
        .map(|row| form.get(&format!("jar.{row}.size")))
        .collect();
    for row in 0..form.rows("bath") {
        sizes.extend(form.keys(&format!("bath.{row}.jars")));
    }
    sizes.retain(|size| !size.is_empty());
    let mut once = Vec::new();
    for size in sizes {
        if !once.contains(&size) {
            once.push(size);
        }
    }
    once
}

#[cfg(test)]
mod tests {
    use jarwright_kitchen::files::read_kitchen;

    use super::*;

    #[test]
    fn every_kind_of_pot_burner_and_instrument_offered_is_one_the_reader_knows() {
        let text = include_str!("../../../demo/kitchen.toml");
        let words = Words::of(crate::words::Tongue::English);
        let form = Form::open(text).unwrap_or_else(|error| panic!("{}", error.why));
        let kinds = [
            ("pot.0.kind", pots(&form, words)),
            ("burner.0.fuel", fuels(&form, words)),
        ];
        for (place, choices) in kinds {
            for (word, _) in choices.iter().filter(|(word, _)| !word.is_empty()) {
                let mut changed = form.clone();
                changed.put(place, crate::form::Holds::Text, word);
                assert!(read_kitchen("kitchen", &changed.text()).is_ok(), "{place} {word}");
            }
        }
    }
}
