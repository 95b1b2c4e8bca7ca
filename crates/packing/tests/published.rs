//! Three small instances of published sets of the one-dimensional bin packing problem.
//!
//! Sources: `Falkenauer_u120_00` and `Falkenauer_t60_00`: E. Falkenauer, A hybrid grouping genetic algorithm for bin packing, Journal of
//! Heuristics 2 (1996), as in the OR-Library (the triplets' sizes times ten). `Schwerin1_BPP1`: P. Schwerin and G. Waescher, The bin-packing
//! problem: a problem generator and some numerical experiments with FFD packing and MTP, International Transactions in Operational Research 4
//! (1997). Optima as published with them (bounds tables of the OR-Library and of BPPLib). No kerf, no trim, every board costs 1.

mod common;

use common::{job, proven, solve};

fn check(capacity: i64, items: &[(i64, u32)], parts: u32, optimum: i64) {
    assert_eq!(items.iter().map(|i| i.1).sum::<u32>(), parts);
    let cutting = solve(&job(items, &[(capacity, 1)], 0, 0, (0, 0)));
    assert!(proven(&cutting), "{} against {optimum}", cutting.cost);
    assert_eq!(cutting.cost, optimum);
}

#[test]
fn falkenauer_u120_00() {
    let items = [
        (98, 3),
        (96, 2),
        (94, 1),
        (93, 2),
        (92, 1),
        (91, 2),
        (90, 1),
        (87, 1),
        (86, 1),
        (85, 2),
        (84, 5),
        (83, 2),
        (82, 2),
        (81, 1),
        (80, 3),
        (79, 2),
        (78, 4),
        (76, 1),
        (74, 2),
        (73, 4),
        (72, 1),
        (71, 1),
        (70, 3),
        (69, 3),
        (67, 1),
        (66, 1),
        (64, 1),
        (62, 2),
        (60, 2),
        (59, 1),
        (58, 3),
        (57, 4),
        (55, 3),
        (50, 1),
        (49, 3),
        (47, 1),
        (46, 2),
        (45, 2),
        (44, 2),
        (43, 4),
        (42, 5),
        (41, 3),
        (39, 2),
        (38, 3),
        (37, 1),
        (36, 3),
        (35, 1),
        (33, 3),
        (32, 2),
        (30, 3),
        (29, 1),
        (28, 1),
        (27, 2),
        (26, 1),
        (25, 2),
        (24, 1),
        (23, 2),
        (20, 1),
    ];
    check(150, &items, 120, 48);
}

#[test]
fn falkenauer_t60_00() {
    let items = [
        (495, 1),
        (474, 1),
        (473, 1),
        (472, 1),
        (466, 1),
        (450, 1),
        (445, 1),
        (444, 1),
        (439, 1),
        (430, 1),
        (419, 1),
        (414, 1),
        (410, 1),
        (395, 1),
        (372, 1),
        (370, 1),
        (366, 3),
        (363, 1),
        (361, 1),
        (357, 1),
        (355, 1),
        (351, 1),
        (350, 2),
        (347, 1),
        (320, 1),
        (315, 1),
        (307, 1),
        (303, 1),
        (299, 1),
        (298, 2),
        (292, 1),
        (288, 1),
        (287, 1),
        (283, 1),
        (275, 2),
        (274, 1),
        (273, 2),
        (272, 2),
        (271, 1),
        (269, 2),
        (268, 1),
        (263, 1),
        (262, 1),
        (261, 1),
        (259, 1),
        (258, 1),
        (255, 1),
        (254, 1),
        (252, 3),
        (251, 1),
    ];
    check(1000, &items, 60, 20);
}

#[test]
fn schwerin1_bpp1() {
    let items = [
        (200, 3),
        (199, 1),
        (198, 2),
        (197, 2),
        (194, 2),
        (193, 1),
        (192, 1),
        (191, 3),
        (190, 2),
        (189, 1),
        (188, 2),
        (187, 2),
        (186, 1),
        (185, 4),
        (184, 3),
        (183, 3),
        (182, 3),
        (181, 2),
        (180, 1),
        (179, 4),
        (178, 1),
        (177, 4),
        (175, 1),
        (174, 1),
        (173, 2),
        (172, 1),
        (171, 3),
        (170, 2),
        (169, 3),
        (167, 2),
        (165, 2),
        (164, 1),
        (163, 4),
        (162, 1),
        (161, 1),
        (160, 2),
        (159, 1),
        (158, 3),
        (157, 1),
        (156, 6),
        (155, 3),
        (154, 2),
        (153, 1),
        (152, 3),
        (151, 2),
        (150, 4),
    ];
    check(1000, &items, 100, 18);
}
