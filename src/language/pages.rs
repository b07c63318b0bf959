//! The texts of an HTML page, one by one.

/// Attributes that are read out.
const READ_OUT: [&str; 5] = ["alt", "title", "aria-label", "data-head", "placeholder"];
/// Elements whose text is not for people, or was typed by them.
const NOT_TEXT: [&str; 4] = ["style", "script", "code", "textarea"];

/// The page with every text (and every attribute that is read out) that `say` changes.
pub(super) fn retold(page: &str, say: &mut dyn FnMut(&str) -> Option<String>) -> String {
    let mut out = String::with_capacity(page.len() * 5 / 4);
    let mut rest = page;
    while let Some(at) = rest.find('<') {
        text(&rest[..at], say, &mut out);
        let end = tag_end(&rest[at..]).map_or(rest.len(), |end| at + end);
        let tag = &rest[at..end];
        attributes(tag, say, &mut out);
        rest = &rest[end..];
        if let Some(size) = tag.strip_prefix("<text ").and_then(font_size) {
            let words = &rest[..rest.find('<').unwrap_or(rest.len())];
            narrower(words, size, say, &mut out);
        }
        let name = tag[1..].split(|sign: char| !sign.is_ascii_alphanumeric()).next().unwrap_or_default();
        if NOT_TEXT.contains(&name) {
            let close = rest.find(&format!("</{name}")).unwrap_or(rest.len());
            out.push_str(&rest[..close]);
            rest = &rest[close..];
        }
    }
    text(rest, say, &mut out);
    out
}

/// Signs more than this may be added to a word in a drawing before it is written narrower.
const FEW: usize = 3;

fn font_size(tag: &str) -> Option<f64> {
    tag.split("font-size=\"").nth(1)?.split('"').next()?.parse().ok()
}

/// A drawing is laid out for its English words; longer ones are written narrower, so that they take the same room.
fn narrower(words: &str, size: f64, say: &mut dyn FnMut(&str) -> Option<String>, out: &mut String) {
    let english = plain(words);
    let Some(said) = say(&english) else { return };
    let (old, new) = (english.chars().count(), said.chars().count());
    if new > old + FEW && out.ends_with('>') {
        out.pop();
        // As wide as the drawing took it to be.
        let width =
            english.chars().map(|sign| if sign.is_ascii_uppercase() || "mw".contains(sign) { 0.82 } else { 0.6 });
        let width = width.sum::<f64>() * size + 0.6 * size * FEW as f64;
        out.push_str(&format!(" textLength=\"{width:.0}\" lengthAdjust=\"spacingAndGlyphs\">"));
    }
}

/// Where a tag ends; a `>` inside quotes does not end it.
fn tag_end(tag: &str) -> Option<usize> {
    let mut quoted = false;
    for (at, sign) in tag.char_indices() {
        match sign {
            '"' => quoted = !quoted,
            '>' if !quoted => return Some(at + 1),
            _ => {}
        }
    }
    None
}

fn text(text: &str, say: &mut dyn FnMut(&str) -> Option<String>, out: &mut String) {
    let plain = plain(text);
    match say(&plain).filter(|_| !text.trim().is_empty()) {
        Some(said) => out.push_str(&escaped(&said)),
        None => out.push_str(text),
    }
}

fn attributes(tag: &str, say: &mut dyn FnMut(&str) -> Option<String>, out: &mut String) {
    let mut rest = tag;
    while let Some(at) = rest.find("=\"") {
        let name = rest[..at].rsplit(' ').next().unwrap_or_default();
        let read_out = READ_OUT.contains(&name);
        let (before, after) = rest.split_at(at + 2);
        out.push_str(before);
        let end = after.find('"').unwrap_or(after.len());
        match say(&plain(&after[..end])).filter(|_| read_out) {
            Some(said) => out.push_str(&escaped(&said)),
            None => out.push_str(&after[..end]),
        }
        rest = &after[end..];
    }
    out.push_str(rest);
}

fn plain(text: &str) -> String {
    text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&")
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::retold;

    #[test]
    fn texts_and_spoken_attributes_change_and_nothing_else() {
        let page = "<p class=\"one\" title=\"one\">one &amp; <b>two</b></p><style>one</style><code>one</code>";
        let mut say = |text: &str| text.contains("one").then(|| text.replace("one", "<uno>"));
        assert_eq!(
            retold(page, &mut say),
            "<p class=\"one\" title=\"&lt;uno&gt;\">&lt;uno&gt; &amp; <b>two</b></p><style>one</style><code>one</code>"
        );
    }
}
