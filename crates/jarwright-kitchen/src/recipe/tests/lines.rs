//! Lines of our own, each with what it has to be understood as.

use super::{Answer, draft, open};

/// Line, food, amount with US cups, and what is open: kinds in the order they are asked.
const LINES: [(&str, &str, &str, &str); 114] = [
    // Plain amounts.
    ("2 1/2 cups superfine sugar", "sugar", "2 1/2 cup", ""),
    ("2½ cups sugar", "sugar", "2 1/2 cup", ""),
    ("1-1/2 cups sugar", "sugar", "1 1/2 cup", ""),
    ("1 and 1/2 cups sugar", "sugar", "1 1/2 cup", ""),
    ("380g caster sugar", "sugar", "380 g", ""),
    ("2 kg granulated sugar", "sugar", "2 kg", ""),
    ("• 500 g sugar", "sugar", "500 g", ""),
    ("3) 500 g sugar", "sugar", "500 g", ""),
    ("- 500 g sugar", "sugar", "500 g", ""),
    ("▢ 1 tbsp. honey", "honey", "1 tbsp", ""),
    ("7 large egg yolks", "egg yolk", "7 large", ""),
    ("4 large eggs", "egg, whole", "4 large", ""),
    ("1 extra large egg, beaten", "egg, whole", "1 extra large", ""),
    ("3 cloves garlic, crushed", "garlic", "3 clove", ""),
    ("1 stick butter", "butter, unsalted", "1 stick", ""),
    ("200 g cold unsalted butter, in cubes", "butter, unsalted", "200 g", ""),
    ("½ tsp. ground cinnamon", "cinnamon", "1/2 tsp", ""),
    ("two teaspoons ground ginger", "ginger, ground", "2 tsp", ""),
    ("half a teaspoon turmeric", "turmeric", "1/2 tsp", ""),
    ("25 cl water", "water", "250 ml", ""),
    ("1 litre water", "water", "1 l", ""),
    ("500 ml cider vinegar (5% acidity)", "vinegar, cider 5 %", "500 ml", ""),
    ("500 ml distilled vinegar, 5 %", "vinegar, distilled 5 %", "500 ml", ""),
    ("250 ml bottled lemon juice", "lemon juice, bottled", "250 ml", ""),
    ("40 g lime juice, freshly squeezed", "lime juice, fresh", "40 g", ""),
    ("Sugar 500 g", "sugar", "500 g", ""),
    ("sugar: 2 cups", "sugar", "2 cup", ""),
    ("Honey - 3 tbsp", "honey", "3 tbsp", ""),
    ("1 level tsp pickling salt", "pickling salt", "1 tsp", ""),
    ("20 g salt", "salt", "20 g", ""),
    ("1 kg pitted apricots", "apricots", "1 kg", ""),
    ("450 g raspberries (prepared weight)", "raspberries", "450 g", ""),
    ("8 oz granulated sugar", "sugar", "8 oz", ""),
    ("1 lb 4 oz sugar", "sugar", "1 1/4 lb", ""),
    ("1 cup plus 2 tbsp sugar", "sugar", "1 1/8 cup", ""),
    ("1 cup + 1 cup sugar", "sugar", "2 cup", ""),
    // Two writings that agree.
    ("1lb/450g sugar", "sugar", "450 g", ""),
    ("500 g (1 lb 2 oz) sugar", "sugar", "500 g", ""),
    ("1 cup (200 g) sugar", "sugar", "200 g", ""),
    ("1 cup sugar (200 g)", "sugar", "200 g", ""),
    ("1 cup (240 ml) water", "water", "240 ml", ""),
    ("8 oz (225 g) honey", "honey", "225 g", ""),
    ("8 oz (240 ml) water", "water", "240 ml", ""),
    // Two that do not.
    ("1 lb/400 g sugar", "sugar", "", "clash"),
    ("1 oz (25 g) sugar", "sugar", "", "clash"),
    ("1 cup (400 g) sugar", "sugar", "", "clash"),
    ("2 apples (about 300 g)", "apples", "", "clash bought"),
    ("1 cup (about 200 g) sugar", "sugar", "", "clash"),
    ("1 cup plus 20 g sugar", "sugar", "", "sum"),
    ("1 cup plus 1-2 tbsp sugar", "sugar", "", "sum"),
    ("3 tbsp 1/2 cup honey", "", "", "ingredient"),
    // Ranges, marks, numbers that are none.
    ("3-4 tbsp honey", "honey", "", "range"),
    ("3 – 4 tbsp honey", "honey", "", "range"),
    ("3 to 4 tbsp honey", "honey", "", "range"),
    ("2 cups to 3 cups sugar", "sugar", "", "range"),
    ("1½-2 cups sugar", "sugar", "", "range"),
    ("6 or 7 large eggs", "egg, whole", "", "range"),
    ("1,5 kg sugar", "sugar", "", "mark"),
    ("1,500 g sugar", "sugar", "", "mark"),
    ("1.500 g sugar", "sugar", "", "mark"),
    ("-5 g salt", "salt", "", "number"),
    ("0 g sugar", "sugar", "", "number"),
    ("1e400 g sugar", "sugar", "", "number"),
    ("1/0 cup sugar", "sugar", "", "number"),
    ("99999999999999999999 cups sugar", "sugar", "", "number"),
    // Units that are unclear.
    ("1 T honey", "honey", "", "unit"),
    ("1 t honey", "honey", "", "unit"),
    ("2 c sugar", "sugar", "", "unit"),
    ("5 gr citric acid", "citric acid", "", "unit"),
    ("1 gill water", "water", "", "unit"),
    ("1 dessertspoon honey", "honey", "", "unit"),
    ("8 oz water", "water", "", "ounce"),
    ("6 oz lemon juice, bottled", "lemon juice, bottled", "", "ounce"),
    ("8 fl oz water", "water", "8 fl oz", ""),
    ("1 pint water", "water", "1 pint", ""),
    // Measures of the hand.
    ("1 heaped tsp turmeric", "turmeric", "", "heaped"),
    ("a scant cup of sugar", "sugar", "", "heaped"),
    ("about 500 g sugar", "sugar", "", "about"),
    ("~500 g sugar", "sugar", "", "about"),
    ("at least 500 g sugar", "sugar", "", "about"),
    ("2 cups sugar, plus extra for the top", "sugar", "", "more"),
    ("a knob of butter", "butter, unsalted", "", "vague"),
    ("a pinch of saffron", "saffron", "", "vague"),
    ("pinch of turmeric", "turmeric", "", "vague"),
    ("a handful of fresh mint", "mint, fresh", "", "vague"),
    ("1 small bunch fresh dill", "dill, fresh", "", "vague"),
    ("a few strawberries", "strawberries", "", "vague"),
    ("honey, to taste", "honey", "", "vague"),
    ("water to cover", "water", "", "vague"),
    ("turmeric", "turmeric", "", "vague"),
    ("salt to taste", "", "", "which"),
    ("1 tsp salt", "", "", "which"),
    // Counts and containers.
    ("7 egg yolks", "egg yolk", "", "size"),
    ("3 eggs", "egg, whole", "", "size"),
    ("4 apples", "apples", "", "size"),
    ("1 large lemon", "lemons", "", "size"),
    ("2 (14 oz) cans tomatoes", "tomatoes", "", "container"),
    ("2 14-oz cans of tomatoes", "tomatoes", "", "container"),
    ("2 x 400 g tins tomatoes", "tomatoes", "", "container"),
    ("1 can (400 g) canned tomatoes", "tomatoes, canned", "", "container"),
    ("1 packet powdered pectin", "pectin, powdered", "", "container"),
    ("1 (57 g) packet powdered pectin", "pectin, powdered", "", "container"),
    // Food that is not certain.
    ("1 cup lemon juice", "", "", "juice"),
    ("2 tbsp lime juice", "", "", "juice"),
    ("500 ml white vinegar", "", "", "strength"),
    ("2 cups vinegar", "", "", "strength"),
    ("juice of 2 lemons", "", "", "juice"),
    ("zest of 1 lime", "lime zest", "", "fruit"),
    ("200 g raspberies", "", "", "ingredient"),
    ("200 g moonfruit", "", "", "ingredient"),
    ("∞ cups sugar", "", "", "ingredient"),
    ("2 cups sugar or honey", "", "", "either"),
    // As bought or ready, and what may be left out.
    ("1 kg apricots", "apricots", "", "bought"),
    ("1 tsp turmeric (optional)", "turmeric", "", "optional"),
];

#[test]
fn every_line_is_understood_or_asked_about() -> Result<(), String> {
    let mut faults = Vec::new();
    for (line, food, amount, asked) in LINES {
        let mut draft = draft(line)?;
        if open(&draft).contains(&"cup") {
            draft
                .decide("cup", &Answer::Choice(0))
                .map_err(|fault| fault.to_string())?;
        }
        let Some(taken) = draft.lines.first() else {
            faults.push(format!("{line}: no line"));
            continue;
        };
        let name = taken
            .ingredient
            .as_ref()
            .and_then(|found| found.name.clone())
            .unwrap_or_default();
        let kinds: Vec<&str> = taken.open().map(|doubt| doubt.kind.word()).collect();
        let got = (
            name.as_str(),
            taken.amount.as_deref().unwrap_or_default(),
            kinds.join(" "),
        );
        if got != (food, amount, asked.to_owned()) {
            faults.push(format!(
                "{line}\n     got {got:?}\n    want {:?}",
                (food, amount, asked)
            ));
        }
    }
    assert!(faults.is_empty(), "\n{}", faults.join("\n"));
    Ok(())
}

#[test]
fn nothing_that_is_asked_about_has_an_amount() -> Result<(), String> {
    for (line, ..) in LINES {
        for taken in draft(line)?.lines {
            assert!(taken.amount.is_none() || taken.open().next().is_none(), "{line}");
        }
    }
    Ok(())
}

#[test]
fn a_line_of_juice_and_zest_is_two() -> Result<(), String> {
    for line in ["juice and zest of 1 lemon", "1 lemon, zested and juiced"] {
        let draft = draft(line)?;
        assert_eq!(draft.lines.len(), 2, "{line}");
        assert!(
            draft
                .lines
                .iter()
                .all(|taken| taken.as_written == line && taken.amount.is_none())
        );
    }
    Ok(())
}
