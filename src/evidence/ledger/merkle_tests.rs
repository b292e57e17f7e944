//! Values of the open test data for RFC 6962 trees (project transparency-dev/merkle, rfc6962_test.go and testdata), as restated in
//! our table of check values and recomputed there; and properties over all small trees.

use proptest::prelude::*;

use super::Tree;
use super::consistency;
use super::inclusion;
use super::is_consistent;
use super::is_included;
use super::leaf;
use super::node;
use super::root;
use crate::kit::digest::Digest;

const ENTRIES: [&[u8]; 8] = [
    b"",
    b"\x00",
    b"\x10",
    b"\x20\x21",
    b"\x30\x31",
    b"\x40\x41\x42\x43",
    b"\x50\x51\x52\x53\x54\x55\x56\x57",
    b"\x60\x61\x62\x63\x64\x65\x66\x67\x68\x69\x6a\x6b\x6c\x6d\x6e\x6f",
];

const ROOTS: [&str; 8] = [
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
];

fn leaves(n: usize) -> Vec<Digest> {
    ENTRIES[..n].iter().map(|it| leaf(it)).collect()
}

fn many(n: usize) -> Vec<Digest> {
    (0..n).map(|it| leaf(&it.to_be_bytes())).collect()
}

fn tree(leaves: &[Digest]) -> Tree {
    Tree {
        size: leaves.len() as u64,
        root: root(leaves),
    }
}

fn shown(proof: &[Digest]) -> Vec<String> {
    proof.iter().map(|it| it.short(8)).collect()
}

#[test]
fn hashes_and_roots_agree() {
    assert_eq!(root(&[]), Digest::of(b""));
    let some = leaf(b"L123456").to_string();
    assert_eq!(
        some,
        "395aa064aa4c29f7010acfe3f25db9485bbd4b91897b6ad7ad547639252b4d56"
    );
    for (n, want) in ROOTS.iter().enumerate() {
        assert_eq!(root(&leaves(n + 1)).to_string(), *want, "{}", n + 1);
    }
    // A leaf that spells a node is no node.
    let (a, b) = (leaf(b"a"), leaf(b"b"));
    assert_ne!(leaf(&[a.0, b.0].concat()), node(&a, &b));
}

#[test]
fn proofs_agree() {
    for (index, size, want) in [
        (0, 8, vec!["96a296d2", "5f083f0a", "6b47aaf2"]),
        (5, 8, vec!["bc1a0643", "ca854ea1", "d37ee418"]),
        (2, 3, vec!["fac54203"]),
        (1, 5, vec!["6e340b9c", "5f083f0a", "bc1a0643"]),
    ] {
        assert_eq!(shown(&inclusion(index, &leaves(size)).unwrap()), want);
    }
    for (old, size, want) in [
        (1, 8, vec!["96a296d2", "5f083f0a", "6b47aaf2"]),
        (6, 8, vec!["0ebc5d34", "ca854ea1", "d37ee418"]),
        (2, 5, vec!["5f083f0a", "bc1a0643"]),
        (6, 7, vec!["0ebc5d34", "b08693ec", "d37ee418"]),
    ] {
        assert_eq!(shown(&consistency(old, &leaves(size)).unwrap()), want);
    }
    assert!(inclusion(3, &leaves(3)).is_none() && inclusion(0, &[]).is_none());
    assert!(consistency(0, &leaves(3)).is_none() && consistency(4, &leaves(3)).is_none());
}

#[test]
fn every_proof_of_every_small_tree_holds_and_no_other() {
    let all = many(40);
    for size in 1..=40 {
        let new = tree(&all[..size]);
        for (index, entry) in all[..size].iter().enumerate() {
            let proof = inclusion(index, &all[..size]).unwrap();
            let at = |i: u64, n: u64| is_included(entry, i, n, &proof, &new.root);
            let (i, n) = (index as u64, size as u64);
            assert!(at(i, n));
            // The cases of the open test data: place and size slightly off.
            for (wrong, of) in [
                (i.wrapping_sub(1), n),
                (i + 1, n),
                (i ^ 2, n),
                (n, n),
                (u64::MAX, n),
                (i, 0),
            ] {
                assert!(!at(wrong, of), "{index} of {size} as {wrong} of {of}");
            }
            assert!(!is_included(&root(&[]), i, n, &proof, &new.root));
            assert!(!is_included(entry, i, n, &proof, &root(&[])));
        }
        for old in 1..=size {
            let proof = consistency(old, &all[..size]).unwrap();
            let before = tree(&all[..old]);
            assert!(is_consistent(&before, &new, &proof));
            if old < size {
                assert!(!is_consistent(&new, &before, &proof));
                let swapped = (
                    Tree {
                        root: new.root,
                        ..before
                    },
                    Tree {
                        root: before.root,
                        ..new
                    },
                );
                assert!(!is_consistent(&swapped.0, &swapped.1, &proof));
                let off = Tree {
                    size: before.size + 1,
                    ..before
                };
                assert!(!is_consistent(&off, &new, &proof), "{old} in {size}");
            }
        }
        assert!(is_consistent(&tree(&[]), &new, &[]));
        assert!(!is_consistent(
            &Tree {
                size: 0,
                root: new.root
            },
            &new,
            &[]
        ));
    }
}

proptest! {
    #[test]
    fn a_changed_proof_fails(size in 2_usize..200, pick in any::<(usize, usize, u8, u8)>()) {
        let all = many(size);
        let (a, b, bit, what) = pick;
        let index = a % size;
        let old = 1 + b % (size - 1);
        let new = tree(&all);
        let change = |proof: &mut Vec<Digest>| match what % 5 {
            _ if proof.is_empty() => proof.push(all[0]),
            0 => { proof.pop(); }
            1 => proof.push(new.root),
            2 => proof.insert(0, all[0]),
            3 => { proof.remove(0); }
            _ => { let at = a % proof.len(); proof[at].0[usize::from(bit) % 32] ^= 1 << (bit % 8); }
        };
        let mut proof = inclusion(index, &all).unwrap();
        change(&mut proof);
        prop_assert!(!is_included(&all[index], index as u64, new.size, &proof, &new.root));
        let mut proof = consistency(old, &all).unwrap();
        change(&mut proof);
        prop_assert!(!is_consistent(&tree(&all[..old]), &new, &proof));
    }
}
