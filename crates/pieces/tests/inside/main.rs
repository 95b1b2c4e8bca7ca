//! What stands, lies and is filled in walls: posts, floors, fills, liners, and extras.

mod extra;
mod fill;
mod floor;
mod liner;
mod outlines;
mod posts;
#[path = "../workshop/mod.rs"]
mod shop;
mod workshop;

/// No table of keys has a key twice or a default that cannot be read.
#[test]
fn the_tables_have_no_flaws() {
    for schema in pieces::schemas() {
        assert_eq!(read::flaws(schema), Vec::<String>::new());
    }
}
