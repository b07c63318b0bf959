//! The strokes every chart is made of: inks, patterns, text, lines, the frame with its text alternative.

use maud::{Markup, PreEscaped, html};

use crate::words::Channel;

/// For which width a chart is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Layout {
    /// A page on paper or a large screen.
    Wide,
    /// A telephone.
    Narrow,
}

impl Layout {
    /// Units across.
    pub(crate) const fn width(self) -> f64 {
        match self {
            Self::Wide => 680.0,
            Self::Narrow => 320.0,
        }
    }

    /// Whether this is the telephone's.
    pub(crate) const fn narrow(self) -> bool {
        matches!(self, Self::Narrow)
    }

    pub(crate) const fn class(self) -> &'static str {
        match self {
            Self::Wide => "chart wide",
            Self::Narrow => "chart narrow",
        }
    }

    pub(crate) fn id(self, name: &str) -> String {
        format!("{name}-{}", if self.narrow() { "n" } else { "w" })
    }
}

/// The closed set of inks. The class lets the style sheet change one for print or a dark screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ink {
    Text,
    Quiet,
    Rule,
    Paper,
    Deep,
    Middling,
    Faint,
}

impl Ink {
    pub(crate) const fn hex(self) -> &'static str {
        match self {
            Self::Text => "#2a2621",
            Self::Quiet => "#5b5449",
            Self::Rule => "#d3c9b8",
            Self::Paper => "#fbf8f1",
            Self::Deep => "#35526b",
            Self::Middling => "#a9b8c4",
            Self::Faint => "#e9e1d2",
        }
    }

    pub(crate) const fn fill(self) -> &'static str {
        match self {
            Self::Text => "f-text",
            Self::Quiet => "f-quiet",
            Self::Rule => "f-rule",
            Self::Paper => "f-paper",
            Self::Deep => "f-deep",
            Self::Middling => "f-middling",
            Self::Faint => "f-faint",
        }
    }

    pub(crate) const fn stroke(self) -> &'static str {
        match self {
            Self::Text => "s-text",
            Self::Quiet => "s-quiet",
            Self::Rule => "s-rule",
            Self::Paper => "s-paper",
            Self::Deep => "s-deep",
            Self::Middling => "s-middling",
            Self::Faint => "s-faint",
        }
    }
}

/// How an area is filled: told apart in grey and by someone who sees no colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fill {
    /// Solid: things seen, and plain bars.
    Solid,
    /// Slanted lines: things heard.
    Hatched,
    /// Dots: company.
    Dotted,
    /// An outline only: before.
    Hollow,
    /// The paper itself.
    Paper,
    /// Solid but lighter, so that dark lines show over it.
    Middling,
    /// A pale area: what was there already.
    Pale,
}

impl Fill {
    /// The fill of a channel.
    pub(crate) const fn of(channel: Channel) -> Self {
        match channel {
            Channel::Seen => Self::Solid,
            Channel::Heard => Self::Hatched,
            Channel::Company => Self::Dotted,
        }
    }
}

/// A coordinate: a tenth of a unit is finer than a pixel.
pub(crate) fn n(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.1}");
    text.strip_suffix(".0").map_or_else(|| text.clone(), str::to_owned)
}

/// The frame of a chart: size, name and description for those who do not see it, patterns.
pub(crate) struct Frame<'a> {
    pub(crate) id: &'a str,
    pub(crate) class: &'a str,
    pub(crate) width: f64,
    pub(crate) height: f64,
    pub(crate) title: &'a str,
    pub(crate) desc: &'a str,
}

impl Frame<'_> {
    pub(crate) fn svg(&self, body: &Markup) -> Markup {
        let title = format!("{}-title", self.id);
        let desc = format!("{}-desc", self.id);
        html! {
            svg xmlns="http://www.w3.org/2000/svg" class=(self.class) role="img" aria-labelledby={ (title) " " (desc) }
                viewBox={ "0 0 " (n(self.width)) " " (n(self.height)) } width=(n(self.width)) height=(n(self.height))
                font-family="Charter, 'Palatino Linotype', Palatino, 'Noto Serif', 'DejaVu Serif', \
                    serif" font-size="14" direction="ltr" {
                title id=(title) { (self.title) }
                desc id=(desc) { (self.desc) }
                (self.patterns())
                (body)
            }
        }
    }

    fn patterns(&self) -> Markup {
        html! {
            defs {
                pattern id={ (self.id) "-hatched" } width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" {
                    rect width="6" height="6" class="f-hatch-back" fill="#ded6dc" {}
                    rect width="2.6" height="6" class="f-hatch" fill="#735a6e" {}
                }
                pattern id={ (self.id) "-dotted" } width="7" height="7" patternUnits="userSpaceOnUse" {
                    rect width="7" height="7" class="f-dot-back" fill="#f1e7cf" {}
                    circle cx="2" cy="2" r="1.4" class="f-dot" fill="#6d5d33" {}
                    circle cx="5.5" cy="5.5" r="1.4" class="f-dot" fill="#6d5d33" {}
                }
            }
        }
    }

    /// A filled area; `value` is what it stands for, so that anyone can check its size.
    pub(crate) fn area(&self, fill: Fill, [x, y, width, height]: [f64; 4], value: Option<f64>) -> Markup {
        let (class, paint, stroke, line) = match fill {
            Fill::Solid => ("f-deep".to_owned(), Ink::Deep.hex().to_owned(), Ink::Deep, 0.0),
            Fill::Hatched => ("edge".to_owned(), format!("url(#{}-hatched)", self.id), Ink::Text, 0.8),
            Fill::Dotted => ("edge".to_owned(), format!("url(#{}-dotted)", self.id), Ink::Text, 0.8),
            Fill::Hollow => ("f-paper".to_owned(), Ink::Paper.hex().to_owned(), Ink::Text, 1.3),
            Fill::Paper => ("f-paper".to_owned(), Ink::Paper.hex().to_owned(), Ink::Paper, 0.0),
            Fill::Middling => ("f-middling".to_owned(), Ink::Middling.hex().to_owned(), Ink::Middling, 0.0),
            Fill::Pale => ("f-faint".to_owned(), Ink::Faint.hex().to_owned(), Ink::Rule, 0.8),
        };
        html! {
            rect x=(n(x)) y=(n(y)) width=(n(width.max(0.0))) height=(n(height.max(0.0))) class={ (class) " " (stroke.stroke()) }
                fill=(paint) stroke=(stroke.hex()) stroke-width=(n(line)) data-value=[value] {}
        }
    }
}

/// Where a text is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hold {
    Start,
    Middle,
    End,
}

impl Hold {
    const fn word(self) -> &'static str {
        match self {
            Self::Start => "start",
            Self::Middle => "middle",
            Self::End => "end",
        }
    }
}

/// A line of text of that size.
pub(crate) fn text(x: f64, y: f64, hold: Hold, ink: Ink, size: f64, words: &str) -> Markup {
    html! {
        text x=(n(x)) y=(n(y)) text-anchor=(hold.word()) class=(ink.fill()) fill=(ink.hex()) font-size=(n(size)) { (words) }
    }
}

/// A straight line.
pub(crate) fn line([x1, y1, x2, y2]: [f64; 4], ink: Ink, width: f64, dash: Option<&str>) -> Markup {
    html! {
        line x1=(n(x1)) y1=(n(y1)) x2=(n(x2)) y2=(n(y2)) class=(ink.stroke()) stroke=(ink.hex()) stroke-width=(n(width))
            stroke-dasharray=[dash] {}
    }
}

/// A line through points; nothing for fewer than two.
pub(crate) fn polyline(points: &[(f64, f64)], ink: Ink, width: f64, dash: Option<&str>) -> Markup {
    if points.len() < 2 {
        return PreEscaped(String::new());
    }
    let path: Vec<String> = points.iter().map(|(x, y)| format!("{},{}", n(*x), n(*y))).collect();
    html! {
        polyline points=(path.join(" ")) fill="none" class=(ink.stroke()) stroke=(ink.hex()) stroke-width=(n(width))
            stroke-linejoin="round" stroke-dasharray=[dash] {}
    }
}

/// About how wide a text is: the widest of the fonts named above, so that a narrower one only leaves room.
pub(crate) fn width_of(words: &str, size: f64) -> f64 {
    words
        .chars()
        .map(|sign| if sign.is_ascii_uppercase() || sign == 'm' || sign == 'w' { 0.82 } else { 0.6 })
        .sum::<f64>()
        * size
}

/// Words broken into lines no wider than `width`; the last of `most` lines ends in `…` if there is more.
pub(crate) fn wrap(words: &str, size: f64, width: f64, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    // A no-break space holds words together, so only plain spaces part them.
    let mut rest = words.split([' ', '\n', '\t']).filter(|word| !word.is_empty()).peekable();
    while let Some(word) = rest.next() {
        let joined = lines.last().map(|last| format!("{last} {word}"));
        match joined {
            Some(joined) if width_of(&joined, size) <= width => {
                if let Some(last) = lines.last_mut() {
                    *last = joined;
                }
            }
            Some(_) if lines.len() >= most => {
                if let Some(last) = lines.last_mut() {
                    *last = cut(&format!("{last} {word}"), size, width);
                }
                return lines;
            }
            _ => {
                let more = rest.peek().is_some();
                lines.push(if width_of(word, size) > width { cut(word, size, width) } else { word.to_owned() });
                if lines.len() > most && more {
                    return lines;
                }
            }
        }
    }
    lines
}

/// A text cut to a width, ended with `…` where something was left off.
pub(crate) fn cut(words: &str, size: f64, width: f64) -> String {
    if width_of(words, size) <= width {
        return words.to_owned();
    }
    let mut shown = String::new();
    for sign in words.chars() {
        if width_of(&shown, size) + width_of("m…", size) > width {
            break;
        }
        shown.push(sign);
    }
    format!("{}…", shown.trim_end())
}

/// A chart in both widths with its caption.
pub(crate) fn figure(name: &str, caption: &Markup, draw: impl Fn(&str, Layout) -> Markup) -> Markup {
    html! {
        figure {
            (draw(&Layout::Wide.id(name), Layout::Wide))
            (draw(&Layout::Narrow.id(name), Layout::Narrow))
            figcaption { (caption) }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{cut, n, width_of, wrap};

    #[test]
    fn a_coordinate_is_always_a_number() {
        assert_eq!(n(f64::NAN), "0");
        assert_eq!(n(12.0), "12");
        assert_eq!(n(0.25), "0.2");
    }

    #[test]
    fn a_wrapped_text_keeps_its_words_and_its_width() {
        let lines = wrap("how many things lie on the table that the task does not use", 14.0, 170.0, 9);
        assert!(lines.iter().all(|line| width_of(line, 14.0) <= 170.0));
        assert_eq!(lines.join(" "), "how many things lie on the table that the task does not use");
    }

    #[test]
    fn a_text_too_long_says_that_it_goes_on() {
        let lines = wrap("how many things lie on the table that the task does not use", 14.0, 170.0, 2);
        assert_eq!(lines.len(), 2);
        assert!(lines[1].ends_with('…'));
        assert!(width_of(&cut("abcdefghijklmnop", 14.0, 60.0), 14.0) <= 60.0);
        assert!(wrap("", 14.0, 100.0, 2).is_empty());
    }
}
