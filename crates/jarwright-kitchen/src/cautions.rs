//! What could hurt someone, where it matters. Short; local law and licensed practice decide.

use jarwright_reference::Kind;

use crate::order::Use;
use crate::plan::Caution;

/// What the cautions depend on.
pub(crate) struct CautionCase<'a> {
    pub(crate) formula: &'a str,
    pub(crate) kinds: &'a [Kind],
    pub(crate) allergens: &'a [String],
    pub(crate) inside: bool,
    pub(crate) pack: bool,
    pub(crate) boiling_swap: bool,
    pub(crate) for_use: Use,
}

/// Cautions of one formula.
pub(crate) fn of_formula(case: &CautionCase) -> Vec<Caution> {
    let mut all = Vec::new();
    let mut add = |at: &'static str, text: String| {
        all.push(Caution {
            at,
            formula: case.formula.into(),
            text,
        })
    };
    if case.kinds.contains(&Kind::Egg) {
        add("pot", "Raw egg carries Salmonella. Sugar makes it harder to kill; neither lemon nor lime makes raw egg keep. Reach the stop temperature in the middle of the pot, by thermometer.".into());
    }
    if case
        .kinds
        .iter()
        .any(|k| matches!(k, Kind::Allium | Kind::Vegetable | Kind::LowAcidFruit))
    {
        add("keeping", "Low-acid pieces can grow Clostridium botulinum in a closed jar until the acid has reached their middle. It cannot be seen, smelled or tasted.".into());
    }
    if !case.inside {
        add(
            "keeping",
            "No tested schedule covers this jar. A computed time is not one: it opens no shelf, however long.".into(),
        );
    }
    if case.pack {
        add(
            "fill",
            "Boiling brine on cold pieces spits and cracks cold glass: warm jars, brine to the side of the pot, tongs."
                .into(),
        );
    }
    if case.boiling_swap {
        add(
            "bath",
            "Bailing hot water between loads scalds: ladle into a bucket on the floor, never lift the full bath."
                .into(),
        );
    }
    if !case.allergens.is_empty() {
        add(
            "label",
            format!(
                "Contains {}. Clean pots, funnels and cloths before the next formula; say it on every jar.",
                case.allergens.join(", ")
            ),
        );
    }
    if case.for_use == Use::Sale {
        add("keeping", "Selling needs what your authority asks for: registration, a scheduled process where the food is acidified, records. Ask before you take the order.".into());
    }
    all
}

/// Cautions of every run.
pub(crate) fn of_run(bath: bool) -> Vec<Caution> {
    let fill = if bath {
        "Hot to hot, cold to cold: hot food into hot jars, on wood or cloth, never on a cold wet bench. A cracked or chipped jar is not filled."
    } else {
        "Hot food goes into shallow pans over ice, never into the jars: only cold food is filled. A cracked or chipped jar is not filled."
    };
    [
        ("pot", "Food at these temperatures burns through skin in a second. Long sleeves, dry mitts, small ladles; two people for more than 10 kg."),
        ("fill", fill),
        ("bath", "Jars stand on a rack, apart, covered by 25 to 50 mm (1 to 2 in) of water. Boil lost: bring it back and give the full time again."),
        ("cooling", "Let processed jars cool in still air, untouched, 12 to 24 h. Part of the process happens while they cool: no ice, no fan, no tightening."),
        ("keeping", "Leaking, bulging, spurting, mouldy or off: do not taste; destroy it where no person or animal can reach it."),
        ("everywhere", "Local law and a licensed authority decide. This plan explains; it does not license."),
    ]
    .into_iter()
    // Bath and still-air cooling are for jars that are processed.
    .filter(|(at, _)| bath || !matches!(*at, "bath" | "cooling"))
    .map(|(at, text)| Caution { at, formula: String::new(), text: text.into() })
    .collect()
}
