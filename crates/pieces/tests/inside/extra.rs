//! Extras: bought, counted, and attached to a piece.

use crate::workshop::{built, needs, told};
use measure::{Mass, Money};
use model::build::Needed;

fn with(extra: &str) -> String {
    format!(
        "[piece.trough]\nis = \"walls\"\nlength = {{ exactly = 900 }}\nwidth = {{ exactly = 520 }}\nheight = {{ exactly = 290 }}\nboard = \"larch-145\"\n\
         [piece.feet]\nis = \"extra\"\n{extra}"
    )
}

#[test]
fn an_extra_is_needed_as_it_is_written() {
    let build = built(&with("of = \"trough\"\nwhat = \"plastic foot\"\ncount = 16\nprice = 1.25\nmass = \"80 g\"\n"));
    let price = Some(Money::hundredths(125));
    let extra = Needed::Extra { count: 16, price, mass: Some(Mass::milligrams(80_000)) };
    assert_eq!(needs(&build, "feet"), [("plastic foot".into(), extra)]);
    assert_eq!(build.steps.iter().filter(|step| step.piece == "feet").count(), 1);
    let alone = built(&with("of = \"trough\"\nwhat = \"tap\"\n"));
    assert_eq!(needs(&alone, "feet"), [("tap".into(), Needed::Extra { count: 1, price: None, mass: None })]);
}

#[test]
fn what_no_extra_can_be_is_told() {
    assert_eq!(told(&with("of = \"trogh\"\nwhat = \"tap\"\n")), "no piece called `trogh` in the plan");
    assert_eq!(told(&with("of = \"trough\"\n")), "the extra `feet` lacks the key `what`");
    assert_eq!(told(&with("of = \"trough\"\nwhat = \"tap\"\ncount = 0\n")), "`count` is too small: `0`");
}
