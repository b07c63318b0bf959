//! Line drawings of our own, one beside each sentence of the family's page. They repeat what the words say.

use maud::{Markup, html};

/// What is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Icon {
    /// A closed box.
    Box,
    /// A loudspeaker, silenced.
    Loudspeaker,
    /// Three stairs.
    Stairs,
    /// A raised hand.
    Hand,
    /// Ear defenders.
    Defenders,
    /// A telephone.
    Telephone,
    /// A cup, easy and known.
    Easy,
    /// Waves, for rocking and humming.
    Waves,
    /// A sun, for gladness.
    Sun,
    /// Two talk clouds.
    Talk,
    /// A chair at a table.
    Seat,
}

impl Icon {
    const fn strokes(self) -> &'static str {
        match self {
            Self::Box => "M10 26h44v26H10zM10 26l6-12h32l6 12M26 34h12",
            Self::Loudspeaker => "M8 25h10l14-12v38L18 39H8zM42 24l15 16M57 24L42 40",
            Self::Stairs => "M8 54h14V42h14V30h14V18M50 18h8M44 12l6-6 6 6M50 6v10",
            Self::Hand => {
                "M22 56c-6-6-10-14-12-22 2-3 5-2 6 0l4 8V16c0-5 6-5 6 0v16-20c0-5 6-5 6 0v20-17c0-5 6-5 6 0v19-13c0-5 6-5 6 0v21c0 8-4 14-8 18z"
            }
            Self::Defenders => "M14 38v-4a18 18 0 0 1 36 0v4M10 38h9v14h-9zM45 38h9v14h-9z",
            Self::Telephone => "M20 8h24v48H20zM20 46h24M30 51h4M28 13h8",
            Self::Easy => {
                "M14 22h30v18a12 12 0 0 1-12 12h-6a12 12 0 0 1-12-12zM44 26h6a6 6 0 0 1 0 14h-6M24 8c-3 4 3 5 0 9M33 8c-3 4 3 5 0 9"
            }
            Self::Waves => {
                "M8 22c6-8 10-8 16 0s10 8 16 0 10-8 16 0M8 36c6-8 10-8 16 0s10 8 16 0 10-8 16 0M8 50c6-8 10-8 16 0s10 8 16 0 10-8 16 0"
            }
            Self::Sun => {
                "M32 20a12 12 0 1 1 0 24 12 12 0 0 1 0-24M32 6v6M32 52v6M6 32h6M52 32h6M13 13l5 5M46 46l5 5M51 13l-5 5M18 46l-5 5"
            }
            Self::Talk => "M8 12h30v20H22l-8 8v-8H8zM28 38v6h14l8 8v-8h6V24H44",
            Self::Seat => "M12 56l3-22h14l3 22M15 34l-4-20M36 30h22M40 30v26M54 30v26",
        }
    }

    /// The drawing; hidden from screen readers, since the sentence beside it says the same.
    pub(crate) fn draw(self) -> Markup {
        html! {
            svg.icon viewBox="0 0 64 64" aria-hidden="true" focusable="false" {
                path d=(self.strokes()) {}
            }
        }
    }
}
