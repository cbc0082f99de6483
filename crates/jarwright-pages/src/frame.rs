//! The frame of every page: head, shelf of places, what hurts, foot.

use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Redirect, Response};
use maud::{DOCTYPE, Markup, html};

use crate::assets;
use crate::reader::Reader;

/// A place on the shelf at the top of every page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// What is planned and what needs a person.
    InHand,
    /// Formulas.
    Formulas,
    /// Runs.
    Runs,
    /// Ingredients on hand.
    Stores,
    /// Pots, burners, baths, jars, people, instruments.
    Equipment,
    /// How a person reads.
    Reading,
    /// Before the door: nothing else can be gone to.
    Door,
    /// Elsewhere.
    Elsewhere,
}

impl Place {
    const SHELF: [(Self, &'static str, &'static str); 5] = [
        (Self::InHand, "/", "place.in_hand"),
        (Self::Formulas, "/formulas", "place.formulas"),
        (Self::Runs, "/runs", "place.runs"),
        (Self::Stores, "/stores", "place.stores"),
        (Self::Equipment, "/equipment", "place.equipment"),
    ];
}

/// A page: where it stands, what it is called, what it holds.
#[derive(Debug, Clone)]
pub struct Page<'a> {
    /// Where it stands on the shelf.
    pub place: Place,
    /// Its title.
    pub title: &'a str,
    /// What stands above the title: the kitchen, the kind of thing.
    pub over: Option<Markup>,
    /// What it holds.
    pub body: Markup,
}

impl Page<'_> {
    /// The whole document.
    #[must_use]
    pub fn render(self, reader: Reader) -> String {
        let words = reader.words();
        html! {
            (DOCTYPE)
            html lang=(words.tongue.tag()) data-theme=(reader.theme.word()) {
                head {
                    meta charset="utf-8";
                    meta name="viewport" content="width=device-width, initial-scale=1";
                    meta name="color-scheme" content="light dark";
                    title { (self.title) " · Jarwright" }
                    link rel="stylesheet" href=(assets::style().address);
                    link rel="icon" href=(assets::icon().address) type="image/svg+xml";
                    script src=(assets::script().address) defer {}
                }
                body {
                    a class="skip" href="#main" { (words.say("frame.skip")) }
                    header class="top" {
                        a class="mark" href="/" { (jarwright_papers::drawing::jar()) span { "Jarwright" } }
                        @if self.place != Place::Door { (self.shelf(reader)) }
                    }
                    main id="main" tabindex="-1" {
                        div class="head" {
                            @if let Some(over) = &self.over { p class="over" { (over) } }
                            h1 { (self.title) }
                        }
                        (self.body)
                    }
                    footer class="foot" {
                        p class="strong" { (words.say("frame.authority")) }
                        p { (words.say("frame.brackets")) }
                    }
                }
            }
        }
        .into_string()
    }

    /// The places, how one reads, and the way out where there is a lock.
    fn shelf(&self, reader: Reader) -> Markup {
        let words = reader.words();
        html! {
            nav aria-label=(words.say("frame.places")) {
                ul class="shelf" {
                    @for (place, address, key) in Place::SHELF {
                        li {
                            a href=(address) aria-current=[(place == self.place).then_some("page")] {
                                (words.say(key))
                            }
                        }
                    }
                }
            }
            a class="reading" href="/reading" aria-current=[(self.place == Place::Reading).then_some("page")] {
                (words.say("place.reading"))
            }
            @if reader.behind_lock { a class="reading" href="/door" { (words.say("place.door")) } }
        }
    }

    /// The page as an answer.
    #[must_use]
    pub fn answer(self, reader: Reader) -> Response {
        Html(self.render(reader)).into_response()
    }

    /// The page as an answer with another status than 200.
    #[must_use]
    pub fn answer_with(self, status: StatusCode, reader: Reader) -> Response {
        (status, Html(self.render(reader))).into_response()
    }
}

/// The answer that leads on to an address of this house; a name may have letters of any language.
pub fn go_on_to(address: &str) -> Response {
    let written = address
        .bytes()
        .fold(String::with_capacity(address.len()), |mut written, byte| {
            if byte.is_ascii_graphic() {
                written.push(char::from(byte));
            } else {
                written += &format!("%{byte:02X}");
            }
            written
        });
    Redirect::to(&written).into_response()
}
