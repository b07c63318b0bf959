//! What a browser asks: a path, its parameters, a body. Forms come in the two encodings browsers use.

use std::collections::BTreeMap;
use std::sync::Arc;

/// How a request begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Method {
    /// Shows something.
    Get,
    /// Changes something.
    Post,
}

/// A request, read whole.
#[derive(Clone, Debug)]
pub(super) struct Asked {
    /// How it begins.
    pub(super) method: Method,
    /// The path without its parameters, `/room/walk`.
    pub(super) path: String,
    /// The parameters of the address and of the form, each with all its values in order.
    pub(super) fields: BTreeMap<String, Vec<String>>,
    /// Files that came with the form.
    pub(super) files: Vec<Upload>,
}

/// A file that came with a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Upload {
    /// The form's field.
    pub(super) field: String,
    /// The file's name, without any folder.
    pub(super) name: String,
    /// What it holds.
    pub(super) bytes: Arc<Vec<u8>>,
}

/// A body that is no form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct NotAForm;

impl Asked {
    /// A request from its address, its content type and its body.
    pub(super) fn new(method: Method, address: &str, content_type: &str, body: Vec<u8>) -> Result<Self, NotAForm> {
        let (path, query) = address.split_once('?').unwrap_or((address, ""));
        let mut asked = Self { method, path: path.to_owned(), fields: BTreeMap::new(), files: Vec::new() };
        asked.take_pairs(query.as_bytes());
        let kind = content_type.split(';').next().unwrap_or_default().trim().to_ascii_lowercase();
        match kind.as_str() {
            "application/x-www-form-urlencoded" => asked.take_pairs(&body),
            "multipart/form-data" => {
                let boundary = boundary(content_type).ok_or(NotAForm)?;
                asked.take_parts(&body, &boundary)?;
            }
            "application/octet-stream" => {
                asked.files.push(Upload { field: "body".to_owned(), name: "body".to_owned(), bytes: Arc::new(body) });
            }
            _ if body.is_empty() => {}
            _ => return Err(NotAForm),
        }
        Ok(asked)
    }

    /// The last value of a field, without the space around it; `None` when it is missing or empty.
    pub(super) fn field(&self, name: &str) -> Option<&str> {
        self.fields
            .get(name)
            .and_then(|values| values.last())
            .map(|value| value.trim())
            .filter(|value| !value.is_empty())
    }

    /// All values of a field that are not empty.
    pub(super) fn all(&self, name: &str) -> Vec<&str> {
        let values = self.fields.get(name).map(Vec::as_slice).unwrap_or_default();
        values.iter().map(|value| value.trim()).filter(|value| !value.is_empty()).collect()
    }

    /// The file of a field, if one was chosen.
    pub(super) fn file(&self, field: &str) -> Option<&Upload> {
        self.files.iter().find(|file| file.field == field)
    }

    fn take_pairs(&mut self, text: &[u8]) {
        for (name, value) in form_urlencoded::parse(text) {
            self.fields.entry(name.into_owned()).or_default().push(value.into_owned());
        }
    }

    /// The parts of a multipart form: `--boundary`, head lines, an empty line, the content. RFC 7578, RFC 2046 section 5.1.
    fn take_parts(&mut self, body: &[u8], boundary: &str) -> Result<(), NotAForm> {
        let mark = format!("--{boundary}");
        let between = format!("\r\n{mark}");
        let mut rest =
            body.strip_prefix(mark.as_bytes()).or_else(|| after(body, between.as_bytes())).ok_or(NotAForm)?;
        while !rest.starts_with(b"--") {
            rest = rest.strip_prefix(b"\r\n").ok_or(NotAForm)?;
            let head_end = find(rest, b"\r\n\r\n").ok_or(NotAForm)?;
            let head = String::from_utf8_lossy(&rest[..head_end]).into_owned();
            let content_from = &rest[head_end + 4..];
            let end = find(content_from, between.as_bytes()).ok_or(NotAForm)?;
            self.take_part(&head, &content_from[..end]);
            rest = &content_from[end + between.len()..];
        }
        Ok(())
    }

    fn take_part(&mut self, head: &str, content: &[u8]) {
        let Some(line) = head.lines().find(|line| line.to_ascii_lowercase().starts_with("content-disposition:")) else {
            return;
        };
        let Some(field) = quoted(line, "name") else { return };
        match quoted(line, "filename") {
            // An empty choice of a file comes as a file without name and content.
            Some(name) if name.is_empty() && content.is_empty() => {}
            Some(name) => {
                let name = name.rsplit(['/', '\\']).next().unwrap_or_default().to_owned();
                self.files.push(Upload { field, name, bytes: Arc::new(content.to_vec()) });
            }
            None => {
                let value = String::from_utf8_lossy(content).into_owned();
                self.fields.entry(field).or_default().push(value);
            }
        }
    }
}

/// The boundary named in a content type.
fn boundary(content_type: &str) -> Option<String> {
    let at = content_type.to_ascii_lowercase().find("boundary=")? + "boundary=".len();
    let rest = &content_type[at..];
    let named = match rest.strip_prefix('"') {
        Some(quoted) => quoted.split('"').next()?,
        None => rest.split(';').next()?.trim(),
    };
    // RFC 2046, 5.1.1: 1 to 70 signs.
    (1..=70).contains(&named.len()).then(|| named.to_owned())
}

/// A quoted parameter of a head line. Browsers write `"` inside as `%22` (HTML Living Standard, multipart form data).
fn quoted(line: &str, name: &str) -> Option<String> {
    let start = format!("; {name}=\"");
    let from = line.find(&start)? + start.len();
    Some(line[from..].split('"').next()?.replace("%22", "\"").replace("%0D", "").replace("%0A", " "))
}

fn find(text: &[u8], wanted: &[u8]) -> Option<usize> {
    text.windows(wanted.len()).position(|window| window == wanted)
}

fn after<'a>(text: &'a [u8], wanted: &[u8]) -> Option<&'a [u8]> {
    find(text, wanted).map(|at| &text[at + wanted.len()..])
}

#[cfg(test)]
mod tests {
    use proptest::prelude::{Just, any, proptest};
    use proptest::{prop_assert, prop_assert_eq};

    use super::{Asked, Method, NotAForm};

    fn form(parts: &[(&str, Option<&str>, &[u8])]) -> Vec<u8> {
        let mut body = Vec::new();
        for (field, file, content) in parts {
            body.extend_from_slice(b"--edge\r\nContent-Disposition: form-data; name=\"");
            body.extend_from_slice(field.as_bytes());
            if let Some(file) = file {
                body.extend_from_slice(format!("\"; filename=\"{file}").as_bytes());
            }
            body.extend_from_slice(b"\"\r\n\r\n");
            body.extend_from_slice(content);
            body.extend_from_slice(b"\r\n");
        }
        body.extend_from_slice(b"--edge--\r\n");
        body
    }

    const MULTIPART: &str = "multipart/form-data; boundary=edge";

    #[test]
    fn a_form_with_files_is_read_byte_for_byte() {
        let body = form(&[
            ("place", None, "Küche".as_bytes()),
            ("photo", Some("C:\\pictures\\left.jpg"), b"\r\n--edg\xff\r\n"),
            ("sound", Some(""), b""),
        ]);
        let asked = Asked::new(Method::Post, "/room?list=home-corner", MULTIPART, body).unwrap();
        assert_eq!(asked.path, "/room");
        assert_eq!(asked.field("place"), Some("Küche"));
        assert_eq!(asked.field("list"), Some("home-corner"));
        assert_eq!(asked.files.len(), 1);
        assert_eq!(asked.file("photo").unwrap().name, "left.jpg");
        assert_eq!(**asked.file("photo").unwrap().bytes, *b"\r\n--edg\xff\r\n");
    }

    #[test]
    fn a_form_of_pairs_is_decoded() {
        let kind = "application/x-www-form-urlencoded; charset=UTF-8";
        let asked =
            Asked::new(Method::Post, "/x", kind, b"keep=picture+schedule&keep=ring&by=%C3%A9".to_vec()).unwrap();
        assert_eq!(asked.all("keep"), ["picture schedule", "ring"]);
        assert_eq!(asked.field("by"), Some("é"));
    }

    #[test]
    fn a_body_that_is_no_form_is_refused() {
        for (kind, body) in [
            ("text/plain", b"x".to_vec()),
            ("multipart/form-data", form(&[])),
            (MULTIPART, b"--edge\r\nContent-Disposition: form-data; name=\"a\"\r\n\r\ncut".to_vec()),
            (MULTIPART, b"--ed".to_vec()),
        ] {
            assert_eq!(Asked::new(Method::Post, "/", kind, body).err(), Some(NotAForm), "{kind}");
        }
    }

    proptest! {
        #[test]
        fn no_body_makes_it_stumble(body in proptest::collection::vec(any::<u8>(), 0..400), kind in proptest::prop_oneof![Just(MULTIPART), Just("application/x-www-form-urlencoded")]) {
            let _read = Asked::new(Method::Post, "/?a=b", kind, body);
        }

        #[test]
        fn what_was_put_in_comes_out(content in proptest::collection::vec(any::<u8>(), 0..200)) {
            let body = form(&[("file", Some("a.bin"), &content)]);
            let asked = Asked::new(Method::Post, "/", MULTIPART, body).unwrap();
            if content.windows(8).any(|window| window == b"\r\n--edge") { return Ok(()); }
            prop_assert_eq!(&*asked.file("file").unwrap().bytes, &content);
            prop_assert!(asked.fields.is_empty());
        }
    }
}
