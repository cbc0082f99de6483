//! Reading the gear of a kitchen file: burners, pots, baths, jars, cold, instruments.

use super::Money;
use super::equipment::{Bath, Burner, Cold, Fuel, Instrument, InstrumentKind, JarStock, Pot, PotKind};
use super::number;
use super::problem::Fault;
use super::quantity::{area_m2, brix, kelvin, length_m, mass_g, power_w, share, temperature_c, volume_l};
use super::section::Section;
use super::spell;
use super::walk::Need::{May, Must};
use super::walk::{Walk, choose, jar_size, number_of};

pub(crate) const BURNER: &[&str] = &["name", "fuel", "power", "efficiency"];
pub(crate) const POT: &[&str] = &["name", "kind", "holds", "diameter", "weight", "burner"];
pub(crate) const BATH: &[&str] = &["name", "water", "diameter", "weight", "burner", "jars"];
pub(crate) const JAR: &[&str] = &["size", "price", "lid_price", "on_hand"];
pub(crate) const COLD: &[&str] = &["name", "keeps", "power", "shelf"];
pub(crate) const INSTRUMENT: &[&str] = &["name", "kind", "plus_minus", "checked"];
pub(crate) const EXPECTED_MONEY: &str = "money such as \"18.00\"";
pub(crate) const EXPECTED_POWER: &str = "a power such as \"2.4 kW\"";
pub(crate) const EXPECTED_LENGTH: &str = "a length such as \"28 cm\" or \"11 in\"";
pub(crate) const EXPECTED_NAME: &str = "a name";
pub(crate) const EXPECTED_COUNT: &str = "a whole number from 1 to 500";

/// Refuses two tables of one name.
pub(crate) fn unique<'t>(walk: &mut Walk<'t>, sections: &[Section<'_, 't>], key: &str) {
    let mut seen: Vec<&str> = Vec::new();
    for section in sections {
        let Some(name) = section.text(key) else {
            continue;
        };
        if seen.contains(&name) {
            walk.fault(
                section.place(walk, key),
                Fault::new(format!("\"{name}\" is there twice"), "another name"),
            );
        }
        seen.push(name);
    }
}

pub(crate) fn burner<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Burner {
    let fuel = |text: &str| choose(text, "fuel", &Fuel::ALL, Fuel::word);
    Burner {
        name: section.words(walk, "name", Must, EXPECTED_NAME).unwrap_or_default(),
        fuel: section
            .read(walk, "fuel", Must, "gas, coil or induction", fuel)
            .unwrap_or(Fuel::Gas),
        power_w: section
            .read(walk, "power", Must, EXPECTED_POWER, power_w)
            .unwrap_or_default(),
        efficiency: section.read(walk, "efficiency", May, "a share such as \"38 %\"", positive_share),
    }
}

fn positive_share(text: &str) -> Result<f64, Fault> {
    let share = share(text)?;
    if share > 0.0 {
        Ok(share)
    } else {
        Err(Fault::new("a share of zero", "above 0 % and at most 100 %"))
    }
}

pub(crate) fn pot<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Pot {
    let kind = |text: &str| choose(text, "kind of pot", &PotKind::ALL, PotKind::word);
    let kinds = spell::list(PotKind::ALL.map(PotKind::word));
    Pot {
        name: section.words(walk, "name", Must, EXPECTED_NAME).unwrap_or_default(),
        kind: section
            .read(walk, "kind", Must, &kinds, kind)
            .unwrap_or(PotKind::OpenPan),
        holds_l: section
            .read(walk, "holds", Must, "a volume such as \"6 L\"", volume_l)
            .unwrap_or_default(),
        diameter_m: section
            .read(walk, "diameter", Must, EXPECTED_LENGTH, length_m)
            .unwrap_or_default(),
        weight_kg: section
            .read(walk, "weight", May, "a weight such as \"2 kg\"", mass_g)
            .map(|g| g / 1000.0),
        burner: section
            .words(walk, "burner", Must, "the name of a burner")
            .unwrap_or_default(),
    }
}

pub(crate) fn bath<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Bath {
    Bath {
        name: section.words(walk, "name", Must, EXPECTED_NAME).unwrap_or_default(),
        water_l: section
            .read(walk, "water", Must, "a volume such as \"18 L\"", volume_l)
            .unwrap_or_default(),
        diameter_m: section
            .read(walk, "diameter", Must, EXPECTED_LENGTH, length_m)
            .unwrap_or_default(),
        weight_kg: section
            .read(walk, "weight", May, "a weight such as \"3 kg\"", mass_g)
            .map(|g| g / 1000.0),
        burner: section
            .words(walk, "burner", Must, "the name of a burner")
            .unwrap_or_default(),
        jars: bath_jars(walk, section),
    }
}

fn bath_jars<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> Vec<(String, u32)> {
    let expected = "jars = { half-pint = 12, pint = 8 }";
    let mut jars = Vec::new();
    for (size, count) in section.entries(walk, "jars", Must, expected) {
        let name = match jar_size(size.value) {
            Ok(name) => name,
            Err(fault) => {
                walk.fault(size.at, fault);
                continue;
            }
        };
        if jars.iter().any(|(known, _)| *known == name) {
            walk.fault(
                size.at.clone(),
                Fault::new(format!("\"{name}\" is there twice"), "each jar once"),
            );
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a whole number from 1 to 500"
        )]
        match number_of(count.get_ref()) {
            Some(number) if (1.0..=500.0).contains(&number) && number.fract() <= 0.0 => {
                jars.push((name, number as u32));
            }
            _ => walk.fault(
                count.span(),
                Fault::new(format!("no number of {} jars in one load", size.value), EXPECTED_COUNT),
            ),
        }
    }
    jars
}

pub(crate) fn jar<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>) -> JarStock {
    JarStock {
        size: section
            .read(walk, "size", Must, "a jar such as \"half-pint\"", jar_size)
            .unwrap_or_default(),
        price: section
            .read(walk, "price", Must, EXPECTED_MONEY, Money::parse)
            .unwrap_or_default(),
        lid_price: section
            .read(walk, "lid_price", Must, EXPECTED_MONEY, Money::parse)
            .unwrap_or_default(),
        on_hand: section.count(walk, "on_hand", May, (0, 1_000_000), "a whole number of jars"),
    }
}

pub(crate) fn cold_list<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Vec<Cold> {
    let sections = root.tables(walk, "refrigerator", May, "a refrigerator", COLD);
    unique(walk, &sections, "name");
    sections
        .iter()
        .map(|section| cold(walk, section, "refrigerator"))
        .collect()
}

pub(crate) fn cold<'t>(walk: &mut Walk<'t>, section: &Section<'_, 't>, unnamed: &str) -> Cold {
    let keeps = "the temperature it keeps, such as \"4 C\"";
    Cold {
        name: section
            .words(walk, "name", May, EXPECTED_NAME)
            .unwrap_or_else(|| unnamed.to_owned()),
        keeps_c: section
            .read(walk, "keeps", Must, keeps, temperature_c)
            .unwrap_or_default(),
        power_w: section.read(walk, "power", May, EXPECTED_POWER, power_w),
        shelf_m2: section.read(walk, "shelf", May, "an area such as \"1.2 m2\"", area_m2),
    }
}

/// Reads the half width of a kind of instrument.
type HalfWidth = fn(&str) -> Result<f64, Fault>;

pub(crate) fn instruments<'t>(walk: &mut Walk<'t>, root: &Section<'_, 't>) -> Vec<Instrument> {
    let sections = root.tables(walk, "instrument", May, "an instrument", INSTRUMENT);
    unique(walk, &sections, "name");
    let kind = |text: &str| choose(text, "instrument", &InstrumentKind::ALL, InstrumentKind::word);
    let kinds = spell::list(InstrumentKind::ALL.map(InstrumentKind::word));
    let mut read = Vec::new();
    for section in &sections {
        let name = section.words(walk, "name", Must, EXPECTED_NAME);
        let kind = section.read(walk, "kind", Must, &kinds, kind);
        let (expected, parse): (&str, HalfWidth) = match kind {
            Some(InstrumentKind::Thermometer) => ("a temperature difference such as \"1 C\"", kelvin),
            Some(InstrumentKind::PhMeter) => ("pH such as \"0.02\"", half_ph),
            Some(InstrumentKind::Refractometer) => ("soluble solids such as \"0.5 Bx\"", brix),
            Some(InstrumentKind::Scale) => ("a weight such as \"5 g\"", mass_g),
            None => ("how far it can be off", |_| Ok(0.0)),
        };
        let plus_minus = section.read(walk, "plus_minus", Must, expected, parse);
        let checked = section.date(walk, "checked", May);
        if let (Some(name), Some(kind), Some(plus_minus)) = (name, kind, plus_minus) {
            read.push(Instrument {
                name,
                kind,
                plus_minus,
                checked,
            });
        }
    }
    read
}

/// Half width of a pH meter; pH has no unit, so the string is a number, `pH` after it is read.
fn half_ph(text: &str) -> Result<f64, Fault> {
    let value = number::whole(text.trim().trim_end_matches("pH"))?;
    if (0.0..=1.0).contains(&value) {
        Ok(value)
    } else {
        Err(Fault::new(
            format!("pH half width \"{}\" is out of range", text.trim()),
            "from 0 to 1",
        ))
    }
}
