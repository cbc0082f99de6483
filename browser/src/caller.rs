//! The house without a browser: requests as a program makes them, and forms as a page would send them.

use reqwest::{Client, Response, redirect};
use std::time::Duration;

use crate::{Any, Done};

/// A caller with a visit of its own.
#[derive(Debug, Clone)]
pub struct Caller {
    client: Client,
    house: String,
    cookies: String,
    token: String,
}

/// An answer, read whole.
#[derive(Debug, Clone)]
pub struct Answer {
    /// Its status.
    pub status: u16,
    /// Its text, or what of it is text.
    pub text: String,
    /// Bytes of its body as they came over the wire.
    pub bytes: usize,
    /// Where it sends the caller on to.
    pub location: String,
    /// Whether it is a file to save rather than something to show.
    pub to_save: bool,
}

impl Caller {
    /// Calls a house for the first time.
    ///
    /// # Errors
    /// Where it does not answer.
    pub async fn of(house: &str) -> Done<Self> {
        let client = Client::builder()
            .redirect(redirect::Policy::none())
            .timeout(Duration::from_secs(60))
            .build()?;
        let mut caller = Self {
            client,
            house: house.to_owned(),
            cookies: String::new(),
            token: String::new(),
        };
        let answer = caller.client.get(format!("{house}/reading")).send().await?;
        let cookies: Vec<String> = answer
            .headers()
            .get_all("set-cookie")
            .iter()
            .filter_map(|value| value.to_str().ok())
            .filter_map(|line| line.split(';').next())
            .map(str::to_owned)
            .collect();
        caller.cookies = cookies.join("; ");
        let page = answer.text().await?;
        caller.token = field(&page, "form-token").ok_or("the page of choices has no form")?;
        Ok(caller)
    }

    /// The house it calls.
    #[must_use]
    pub fn house(&self) -> &str {
        &self.house
    }

    /// Reads a page.
    ///
    /// # Errors
    /// Where nothing answers.
    pub async fn get(&self, path: &str) -> Done<Answer> {
        let asked = self.client.get(format!("{}{path}", self.house));
        answer(asked.header("cookie", &self.cookies).send().await?).await
    }

    /// Reads a page as a browser takes it: compressed where the house can.
    ///
    /// # Errors
    /// Where nothing answers.
    pub async fn get_packed(&self, path: &str) -> Done<Answer> {
        let asked = self.client.get(format!("{}{path}", self.house));
        let asked = asked.header("accept-encoding", "gzip").header("cookie", &self.cookies);
        answer(asked.send().await?).await
    }

    /// Sends a form.
    ///
    /// # Errors
    /// Where nothing answers.
    pub async fn post(&self, path: &str, fields: &[(&str, &str)]) -> Done<Answer> {
        let mut body = vec![("form-token", self.token.as_str())];
        body.extend_from_slice(fields);
        let body: Vec<String> = body
            .iter()
            .map(|(key, value)| format!("{}={}", escaped(key), escaped(value)))
            .collect();
        let asked = self
            .client
            .post(format!("{}{path}", self.house))
            .header("cookie", &self.cookies)
            .header("content-type", "application/x-www-form-urlencoded")
            .body(body.join("&"));
        answer(asked.send().await?).await
    }
}

async fn answer(response: Response) -> Done<Answer> {
    let status = response.status().as_u16();
    let header = |name: &str| {
        let value = response.headers().get(name).and_then(|value| value.to_str().ok());
        value.unwrap_or_default().to_owned()
    };
    let (location, disposition) = (header("location"), header("content-disposition"));
    let body = response.bytes().await.map_err(Any::from)?;
    Ok(Answer {
        status,
        text: String::from_utf8_lossy(&body).into_owned(),
        bytes: body.len(),
        location,
        to_save: disposition.starts_with("attachment"),
    })
}

/// The value of the first field of a name in a page.
#[must_use]
pub fn field(page: &str, name: &str) -> Option<String> {
    let input = page.split("<input").skip(1).find(|rest| {
        let tag = rest.split('>').next().unwrap_or_default();
        tag.contains(&format!("name=\"{name}\""))
    })?;
    let tag = input.split('>').next()?;
    let value = tag.split_once("value=\"")?.1.split('"').next()?;
    Some(
        value
            .replace("&quot;", "\"")
            .replace("&lt;", "<")
            .replace("&gt;", ">")
            .replace("&amp;", "&"),
    )
}

/// Addresses of the house that a page links to or loads.
#[must_use]
pub fn links(page: &str) -> Vec<String> {
    page.split(['<'])
        .filter_map(|tag| tag.split_once("href=\"").or_else(|| tag.split_once("src=\"")))
        .filter_map(|(_, rest)| rest.split('"').next())
        .filter(|path| path.starts_with('/'))
        .map(|path| path.replace("&amp;", "&").replace(' ', "%20"))
        .collect()
}

fn escaped(text: &str) -> String {
    text.bytes()
        .map(|b| match b {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' => char::from(b).to_string(),
            _ => format!("%{b:02X}"),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_form_is_written_as_a_browser_writes_it() {
        assert_eq!(escaped("1 g & \u{e9}"), "1%20g%20%26%20%C3%A9");
    }

    #[test]
    fn a_field_is_found_whatever_stands_around_it() {
        let page = "<form><input type=\"hidden\" name=\"made-from\" value=\"3\"><input name=\"name\" value=\"a &quot;b&quot;\"></form>";
        assert_eq!(field(page, "made-from").as_deref(), Some("3"));
        assert_eq!(field(page, "name").as_deref(), Some("a \"b\""));
        assert_eq!(field(page, "other"), None);
    }
}
