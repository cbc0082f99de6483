//! schema.org recipes in every shape that pages give them.

use super::super::draft::Draft;
use super::{draft, open};

const PLAIN: &str = r#"{"@context":"https://schema.org","@type":"Recipe","name":"Our quince &amp; apple jelly",
 "recipeYield":"4 jars","recipeIngredient":["1&frac12; cups sugar","200 g honey"],
 "recipeInstructions":"Boil.\nFill."}"#;

fn is_ours(draft: &Draft) {
    assert_eq!(draft.name, "Our quince & apple jelly");
    assert_eq!(draft.made.as_deref(), Some("4 jars"));
    let lines: Vec<&str> = draft.lines.iter().map(|line| line.as_written.as_str()).collect();
    assert_eq!(lines, ["1½ cups sugar", "200 g honey"]);
    assert_eq!(draft.steps, ["Boil.", "Fill."]);
}

#[test]
fn a_recipe_is_found_alone_in_a_list_in_a_graph_and_nested() -> Result<(), String> {
    for text in [
        PLAIN.to_owned(),
        format!("[{PLAIN}]"),
        format!(r#"{{"@graph":[{{"@type":"WebSite"}},{PLAIN}]}}"#),
        format!(r#"{{"@type":"WebPage","mainEntity":{PLAIN}}}"#),
        PLAIN.replace(r#""Recipe""#, r#"["NewsArticle","Recipe"]"#),
        PLAIN.replace(r#""Recipe""#, r#""http://schema.org/Recipe""#),
        PLAIN.replace("recipeIngredient", "ingredients"),
        PLAIN.replace(r#""4 jars""#, r#"["4","4 jars"]"#),
        PLAIN.replace(
            r#""4 jars""#,
            r#"{"@type":"QuantitativeValue","value":4,"unitText":"jars"}"#,
        ),
        PLAIN.replace(r#""Boil.\nFill.""#, r#"["Boil.","Fill."]"#),
        PLAIN.replace(
            r#""Boil.\nFill.""#,
            r#"[{"@type":"HowToStep","text":"Boil."},{"@type":"HowToStep","name":"Fill."}]"#,
        ),
        PLAIN.replace(
            r#""Boil.\nFill.""#,
            r#"{"@type":"ItemList","itemListElement":[{"@type":"ListItem","item":{"text":"Boil."}},{"text":"Fill."}]}"#,
        ),
        PLAIN.replace(r#""Boil.\nFill.""#, r#""<ol><li>Boil.</li><li>Fill.</li></ol>""#),
        // A raw line end inside a string is no JSON and stands in many pages.
        PLAIN.replace("200 g honey", "200 g\nhoney"),
    ] {
        is_ours(&draft(&text).map_err(|fault| format!("{fault}: {text}"))?);
    }
    Ok(())
}

#[test]
fn a_page_is_searched_for_its_blocks() -> Result<(), String> {
    let page = format!(
        "<!doctype html><html><script>var a = '<b>';</script>\
         <SCRIPT type='application/ld+json'>{{\"@type\":\"WebSite\"}}</SCRIPT>\
         <script type=\"application/ld+json\">not json</script>\
         <script type=\"application/ld+json\">\n//<![CDATA[\n{PLAIN}\n//]]>\n</script></html>"
    );
    is_ours(&draft(&page)?);
    Ok(())
}

#[test]
fn sections_keep_their_names_and_property_values_become_lines() -> Result<(), String> {
    // schema.org's own example mixes text with property values whose number is a text and whose
    // unit is a code of UN/CEFACT Recommendation 20 (G21: cup).
    let text = r#"{"@type":"Recipe","name":"x","recipeYield":6,"recipeIngredient":["200 g honey",
      {"@type":"PropertyValue","name":"sugar","value":"3/4","unitCode":"G21"},
      {"@type":"PropertyValue","name":"water","value":250,"unitCode":"MLT"},
      {"@type":"PropertyValue","name":"raisins","minValue":20,"maxValue":30,"unitText":"g"}],
      "recipeInstructions":[{"@type":"HowToSection","name":"Day one","itemListElement":[
        {"@type":"HowToStep","text":"Soak."}]}]}"#;
    let draft = draft(text)?;
    let lines: Vec<&str> = draft.lines.iter().map(|line| line.as_written.as_str()).collect();
    assert_eq!(
        lines,
        ["200 g honey", "3/4 cup sugar", "250 ml water", "20-30 g raisins"]
    );
    assert_eq!(draft.made.as_deref(), Some("6"));
    assert_eq!(draft.steps, ["Day one:", "Soak."]);
    assert!(open(&draft).contains(&"4.range"));
    Ok(())
}

#[test]
fn other_recipes_of_a_page_are_named_and_entries_that_are_no_line_are_asked_about() -> Result<(), String> {
    let other = PLAIN.replace("quince", "medlar");
    let two = draft(&format!("[{PLAIN},{PLAIN},{other}]"))?;
    is_ours(&two);
    assert_eq!(two.set_aside, ["Another recipe: Our medlar & apple jelly"]);
    let odd = draft(r#"{"@type":"Recipe","recipeIngredient":["200 g honey",{"value":3},true,7]}"#)?;
    let lines: Vec<&str> = odd.lines.iter().map(|line| line.as_written.as_str()).collect();
    assert_eq!(lines, ["200 g honey", r#"{"value":3}"#, "true", "7"]);
    assert!(odd.lines[1..].iter().all(|line| line.open().next().is_some()));
    Ok(())
}

#[test]
fn what_holds_no_recipe_says_so_and_what_to_do() {
    for text in [
        "{\"@type\":\"WebSite\"}",
        "{\"@type\":\"Recipe\",\"name\":\"no lines\"}",
        "<html><body>2 cups sugar</body></html>",
        "{\"@type\":\"Recipe\"",
        "[{]",
        "{\"@type\":\"Recipe\",\"recipeIngredient\":[1e400]}",
    ] {
        let fault = draft(text).map(|_| String::new()).unwrap_or_else(|fault| fault);
        assert!(fault.contains("schema.org Recipe"), "{text}: {fault}");
    }
    assert!(draft("").is_err_and(|fault| fault.contains("no ingredient line")));
    assert!(draft("\u{200f}\0\n").is_err_and(|fault| fault.contains("no ingredient line")));
}
