//! The checklists that come with the program; the files stand in `checklists/` and are embedded.

/// Each shipped list: its id and its TOML text.
pub fn shipped() -> &'static [(&'static str, &'static str)] {
    &SHIPPED
}

static SHIPPED: [(&str, &str); 3] = [
    ("home-corner", include_str!("../../checklists/home-corner.toml")),
    ("play-floor", include_str!("../../checklists/play-floor.toml")),
    ("group-room", include_str!("../../checklists/group-room.toml")),
];

#[cfg(test)]
mod tests {
    use super::shipped;
    use crate::checklist::parse;

    #[test]
    fn every_shipped_list_is_read_without_a_fault_under_its_own_id() {
        for (id, text) in shipped() {
            match parse(text, id) {
                Ok(list) => assert_eq!(list.id, *id),
                Err(faults) => panic!("{faults}"),
            }
        }
    }
}
