//! Who may come in: only this computer, only with the key, only from this page itself.
//!
//! The key stands in the address that is printed when the page starts, and is exchanged for a cookie that the browser
//! sends to this page alone. A name that merely points at this computer (DNS rebinding) fails by the Host header; a form
//! or script of another page fails by the Origin header and by the cookie's SameSite rule.

/// The cookie's name.
const COOKIE: &str = "stillroom";

/// What a request shows of itself at the door.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Visitor<'a> {
    /// The Host header.
    pub(super) host: Option<&'a str>,
    /// The Origin header.
    pub(super) origin: Option<&'a str>,
    /// The Sec-Fetch-Site header.
    pub(super) from: Option<&'a str>,
    /// The Cookie header.
    pub(super) cookies: Option<&'a str>,
    /// The key in the address.
    pub(super) key: Option<&'a str>,
    /// Whether it wants to change something.
    pub(super) changes: bool,
}

/// What the door says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Verdict {
    /// Come in.
    In,
    /// Come in, and take the cookie along.
    InWithCookie,
    /// Not for this host name.
    WrongHost,
    /// Sent by another page.
    WrongOrigin,
    /// Neither key nor cookie.
    NoKey,
}

/// The door of one running page.
#[derive(Clone, Debug)]
pub(super) struct Gate {
    port: u16,
    key: String,
}

impl Gate {
    /// The door of a page on that port with that key.
    pub(super) fn new(port: u16, key: String) -> Self {
        Self { port, key }
    }

    /// Whether a visitor may come in.
    pub(super) fn judge(&self, visitor: &Visitor<'_>) -> Verdict {
        let ours = [format!("127.0.0.1:{}", self.port), format!("localhost:{}", self.port)];
        if !visitor.host.is_some_and(|host| ours.iter().any(|own| own == host)) {
            return Verdict::WrongHost;
        }
        let origin_is_ours =
            visitor.origin.is_none_or(|origin| ours.iter().any(|own| origin.strip_prefix("http://") == Some(own)));
        let from_elsewhere = visitor.changes && matches!(visitor.from, Some("cross-site" | "same-site"));
        if !origin_is_ours || from_elsewhere {
            return Verdict::WrongOrigin;
        }
        if visitor.cookies.into_iter().flat_map(|all| all.split(';')).any(|one| {
            one.trim().strip_prefix(COOKIE).and_then(|rest| rest.strip_prefix('=')).is_some_and(|key| self.fits(key))
        }) {
            return Verdict::In;
        }
        // The key in an address lets nobody change anything: it only fetches the first page with its cookie.
        if !visitor.changes && visitor.key.is_some_and(|key| self.fits(key)) {
            return Verdict::InWithCookie;
        }
        Verdict::NoKey
    }

    /// The Set-Cookie header of an admitted visitor.
    pub(super) fn cookie(&self) -> String {
        format!("{COOKIE}={}; Path=/; HttpOnly; SameSite=Strict", self.key)
    }

    /// Compares in the same time wherever the first difference is.
    fn fits(&self, key: &str) -> bool {
        key.len() == self.key.len()
            && key.bytes().zip(self.key.bytes()).fold(0, |differs, (left, right)| differs | (left ^ right)) == 0
    }
}

#[cfg(test)]
mod tests {
    use super::{Gate, Verdict, Visitor};

    fn gate() -> Gate {
        Gate::new(4100, "0123456789abcdef".to_owned())
    }

    const AT_HOME: Visitor<'static> = Visitor {
        host: Some("127.0.0.1:4100"),
        origin: None,
        from: None,
        cookies: Some("other=1; stillroom=0123456789abcdef"),
        key: None,
        changes: false,
    };

    #[test]
    fn the_key_is_exchanged_for_a_cookie_and_the_cookie_opens() {
        assert_eq!(gate().judge(&AT_HOME), Verdict::In);
        let first = Visitor { cookies: None, key: Some("0123456789abcdef"), ..AT_HOME };
        assert_eq!(gate().judge(&first), Verdict::InWithCookie);
        assert_eq!(gate().judge(&Visitor { changes: true, ..first }), Verdict::NoKey);
        assert!(gate().cookie().contains("SameSite=Strict") && gate().cookie().contains("HttpOnly"));
    }

    #[test]
    fn a_wrong_key_or_none_stays_outside() {
        for cookies in [
            None,
            Some(""),
            Some("stillroom=0123456789abcdeF"),
            Some("stillroom="),
            Some("xstillroom=0123456789abcdef"),
        ] {
            assert_eq!(gate().judge(&Visitor { cookies, ..AT_HOME }), Verdict::NoKey, "{cookies:?}");
        }
        let guessed = Visitor { cookies: None, key: Some("0123456789abcdee"), ..AT_HOME };
        assert_eq!(gate().judge(&guessed), Verdict::NoKey);
    }

    #[test]
    fn another_host_name_stays_outside_even_with_the_cookie() {
        for host in [None, Some("evil.example:4100"), Some("127.0.0.1"), Some("127.0.0.1:4101"), Some("[::1]:4100")] {
            assert_eq!(gate().judge(&Visitor { host, ..AT_HOME }), Verdict::WrongHost, "{host:?}");
        }
        assert_eq!(gate().judge(&Visitor { host: Some("localhost:4100"), ..AT_HOME }), Verdict::In);
    }

    #[test]
    fn another_page_stays_outside_even_with_the_cookie() {
        for origin in ["http://evil.example", "null", "https://127.0.0.1:4100", "http://127.0.0.1:4101"] {
            let visitor = Visitor { origin: Some(origin), changes: true, ..AT_HOME };
            assert_eq!(gate().judge(&visitor), Verdict::WrongOrigin, "{origin}");
        }
        let visitor = Visitor { from: Some("cross-site"), changes: true, ..AT_HOME };
        assert_eq!(gate().judge(&visitor), Verdict::WrongOrigin);
        let own = Visitor { origin: Some("http://127.0.0.1:4100"), changes: true, ..AT_HOME };
        assert_eq!(gate().judge(&own), Verdict::In);
    }
}
