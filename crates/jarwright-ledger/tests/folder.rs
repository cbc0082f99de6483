//! TOML files in and out.

mod common;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use common::{Any, at, curd, name, run, who};
use jarwright_kitchen::ports::{Draft, Hash, Keeper, Kept, Memory, Version};
use jarwright_ledger::Ledger;
use jarwright_ledger::folder::{Became, FolderError, Imported, MOST_FOLDER_BYTES, export_folder, import_folder};

fn demo() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo")
}

/// The files that this is about, with their texts.
fn files(folder: &Path) -> Result<BTreeMap<String, String>, Any> {
    let mut files = BTreeMap::new();
    for (prefix, dir) in [("", folder.to_owned()), ("formulas/", folder.join("formulas"))] {
        for entry in fs::read_dir(dir)? {
            let path = entry?.path();
            if path.is_file() {
                let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
                files.insert(format!("{prefix}{name}"), fs::read_to_string(&path)?);
            }
        }
    }
    Ok(files)
}

#[test]
fn the_demo_goes_in_and_comes_out_byte_for_byte() -> Result<(), Any> {
    let out = tempfile::tempdir()?;
    run(async {
        let ledger = Ledger::in_memory().await?;
        let imported = import_folder(&ledger, &demo(), at(0)).await?;
        let imported = imported.files;
        assert!(imported.len() > 2);
        assert!(imported.iter().all(|one| one.became == Became::New && one.number == 1));
        let kitchen = ledger
            .newest(Kept::Kitchen, &name("kitchen"))
            .await?
            .ok_or("no kitchen")?;
        assert_eq!(kitchen.by.as_str(), "import");

        let again = import_folder(&ledger, &demo(), at(60)).await?;
        assert!(
            again
                .files
                .iter()
                .all(|one| one.became == Became::Same && one.number == 1)
        );

        let exported = export_folder(&ledger, out.path()).await?;
        assert_eq!(exported.written.len(), imported.len());
        assert_eq!(files(out.path())?, files(&demo())?);
        let again = export_folder(&ledger, out.path()).await?;
        assert_eq!((again.written.len(), again.same.len()), (0, imported.len()));
        Ok(())
    })
}

#[test]
fn an_import_follows_what_stands_and_leaves_it_in_the_history() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    fs::create_dir(folder.path().join("formulas"))?;
    fs::write(folder.path().join("formulas/lime-curd.toml"), "from the folder")?;
    run(async {
        let keeper = Memory::new();
        keeper.save(curd("from the page", None)).await?;
        let imported = import_folder(&keeper, folder.path(), at(0)).await?;
        let [only] = imported.files.as_slice() else {
            return Err(format!("{imported:?}").into());
        };
        assert_eq!((only.number, only.became), (2, Became::Newer));
        let before = keeper
            .version(Kept::Formula, &name("lime-curd"), 1)
            .await?
            .ok_or("lost")?;
        assert_eq!(before.text.as_str(), "from the page");
        Ok(())
    })
}

#[test]
fn every_faulty_file_is_named_and_then_nothing_is_saved() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let formulas = folder.path().join("formulas");
    fs::create_dir(&formulas)?;
    fs::write(folder.path().join("kitchen.toml"), "fine")?;
    fs::write(formulas.join("Lime curd.toml"), "fine")?;
    fs::write(formulas.join("broken.toml"), b"a\n\xff")?;
    fs::write(formulas.join("large.toml"), vec![b'x'; (1 << 20) + 1])?;
    fs::create_dir(formulas.join("folder.toml"))?;
    fs::create_dir(folder.path().join("kitchens"))?;
    fs::write(folder.path().join("kitchens/kitchen.toml"), "twice")?;
    fs::create_dir(folder.path().join("texts"))?;
    let other = format!("texts/{}.toml", Hash::of("as it was"));
    fs::write(folder.path().join(&other), "changed")?;
    fs::write(folder.path().join("texts/notes.toml"), "no hash")?;
    run(async {
        let keeper = Memory::new();
        let Err(FolderError::Files(faults)) = import_folder(&keeper, folder.path(), at(0)).await else {
            return Err("imported".into());
        };
        assert_eq!(faults.len(), 7, "{faults:?}");
        let words = FolderError::Files(faults).to_string();
        for expected in [
            "rename it to lime-curd.toml",
            "line 2",
            "larger than",
            "not an ordinary file",
            "belongs at kitchen.toml",
            &other,
            "notes.toml is not the text",
        ] {
            assert!(words.contains(expected), "{expected:?} in {words}");
        }
        assert_eq!(keeper.all(Kept::Kitchen).await?, []);
        assert_eq!(keeper.content(&Hash::of("changed")).await?, None);
        Ok(())
    })
}

#[test]
fn an_export_replaces_its_own_files_and_not_those_changed_by_hand() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("formulas/lime-curd.toml");
    run(async {
        let keeper = Memory::new();
        keeper.save(curd("one", None)).await?;
        export_folder(&keeper, folder.path()).await?;
        keeper.save(curd("two", Some(1))).await?;
        assert_eq!(
            export_folder(&keeper, folder.path()).await?.written,
            std::slice::from_ref(&file)
        );
        assert_eq!(fs::read_to_string(&file)?, "two");

        fs::write(&file, "by hand")?;
        keeper.save(curd("three", Some(2))).await?;
        let other = Draft {
            name: name("dill-pickles"),
            ..curd("one", None)
        };
        keeper.save(other).await?;
        let Err(FolderError::Files(faults)) = export_folder(&keeper, folder.path()).await else {
            return Err("written over".into());
        };
        assert_eq!(faults[0].file, file);
        assert!(
            !folder.path().join("formulas/dill-pickles.toml").exists(),
            "all or none"
        );
        assert_eq!(fs::read_to_string(&file)?, "by hand");

        import_folder(&keeper, folder.path(), at(1)).await?;
        keeper.save(curd("four", Some(4))).await?;
        export_folder(&keeper, folder.path()).await?;
        assert_eq!(fs::read_to_string(&file)?, "four");
        Ok(())
    })
}

#[test]
fn a_withdrawn_formulas_file_is_left_and_named() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    run(async {
        let keeper = Memory::new();
        keeper.save(curd("one", None)).await?;
        export_folder(&keeper, folder.path()).await?;
        keeper
            .withdraw(Kept::Formula, &name("lime-curd"), 1, &who("Mira"), at(1))
            .await?;
        let exported = export_folder(&keeper, folder.path()).await?;
        assert_eq!(exported.left, [folder.path().join("formulas/lime-curd.toml")]);
        assert!(exported.written.is_empty());
        Ok(())
    })
}

#[test]
fn an_empty_folder_imports_nothing() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let imported = run(import_folder(&Memory::new(), folder.path(), at(0)))?;
    assert_eq!(imported, Imported::default());
    let nowhere = folder.path().join("nowhere");
    let Err(refused) = run(import_folder(&Memory::new(), &nowhere, at(0))) else {
        return Err("imported from nowhere".into());
    };
    assert!(refused.to_string().contains("nowhere is no folder"), "{refused}");
    Ok(())
}

#[test]
fn an_import_does_not_bring_back_what_was_changed_or_withdrawn_since() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    run(async {
        let keeper = Memory::new();
        let pickles = Draft {
            name: name("dill-pickles"),
            ..curd("salt", None)
        };
        keeper.save(curd("one", None)).await?;
        keeper.save(pickles.clone()).await?;
        export_folder(&keeper, folder.path()).await?;
        keeper.save(curd("two", Some(1))).await?;
        keeper
            .withdraw(Kept::Formula, &pickles.name, 1, &who("Mira"), at(1))
            .await?;

        let imported = import_folder(&keeper, folder.path(), at(2)).await?.files;
        let told: Vec<_> = imported.iter().map(|file| (file.number, file.became)).collect();
        assert_eq!(told, [(2, Became::Behind), (2, Became::Behind)]);
        let stands = keeper.all(Kept::Formula).await?;
        assert_eq!(stands.len(), 1);
        assert_eq!(stands[0].text.as_str(), "two");

        // What is new in a file is taken, also under a withdrawn name.
        fs::write(folder.path().join("formulas/dill-pickles.toml"), "more salt")?;
        let imported = import_folder(&keeper, folder.path(), at(3)).await?.files;
        assert_eq!((imported[0].number, imported[0].became), (3, Became::New));
        Ok(())
    })
}

#[test]
fn a_run_is_answered_from_the_same_texts_after_it_went_through_a_folder() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    run(async {
        let keeper = Memory::new();
        let kitchen = Draft {
            kind: Kept::Kitchen,
            name: name("kitchen"),
            ..curd("a pot", None)
        };
        let kitchen = keeper.save(kitchen).await?;
        let pinned = keeper.save(curd("one", None)).await?;
        let order = Draft {
            kind: Kept::Run,
            name: name("market"),
            ..curd(
                &format!("kitchen = \"{}\"\ntext = \"{}\"\n", kitchen.hash(), pinned.hash()),
                None,
            )
        };
        let order = keeper.save(order).await?;
        keeper.save(curd("two", Some(1))).await?;

        export_folder(&keeper, folder.path()).await?;
        let ledger = Ledger::in_memory().await?;
        let imported = import_folder(&ledger, folder.path(), at(1)).await?;
        assert_eq!(
            imported.texts.len(),
            1,
            "the kitchen stands, the earlier formula does not"
        );
        assert_eq!(ledger.content(&pinned.hash()).await?, Some(pinned.text));
        assert_eq!(ledger.content(&kitchen.hash()).await?, Some(kitchen.text));
        let back = ledger.newest(Kept::Run, &order.name).await?;
        assert_eq!(back.map(|back| back.text), Some(order.text));
        let formula = ledger.newest(Kept::Formula, &name("lime-curd")).await?;
        assert_eq!(formula.map(|formula| formula.text.to_string()).as_deref(), Some("two"));
        Ok(())
    })
}

#[test]
fn everything_that_stands_goes_through_a_folder_whatever_its_name() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    run(async {
        let keeper = Memory::new();
        for kind in Kept::ALL {
            for each in [
                kind.word(),
                "a",
                "варенье",
                "x".repeat(80).as_str(),
                "é".repeat(80).as_str(),
            ] {
                let draft = Draft {
                    kind,
                    name: name(each),
                    ..curd(&format!("{kind} {each}"), None)
                };
                keeper.save(draft).await?;
            }
        }
        export_folder(&keeper, folder.path()).await?;
        let ledger = Ledger::in_memory().await?;
        import_folder(&ledger, folder.path(), at(0)).await?;
        for kind in Kept::ALL {
            let texts = |all: Vec<Version>| -> Vec<_> { all.into_iter().map(|one| (one.name, one.text)).collect() };
            let before = texts(keeper.all(kind).await?);
            assert_eq!(before.len(), 5);
            assert_eq!(texts(ledger.all(kind).await?), before);
        }
        Ok(())
    })
}

#[cfg(unix)]
#[test]
fn a_link_is_neither_read_nor_written_through() -> Result<(), Any> {
    use std::os::unix::fs::symlink;
    let (folder, outside) = (tempfile::tempdir()?, tempfile::tempdir()?);
    let secret = outside.path().join("secret.toml");
    fs::write(&secret, "not for the kitchen")?;
    let formulas = folder.path().join("formulas");
    run(async {
        let keeper = Memory::new();
        keeper.save(curd("one", None)).await?;

        symlink(outside.path(), &formulas)?;
        assert!(import_folder(&keeper, folder.path(), at(0)).await.is_err());
        assert!(export_folder(&keeper, folder.path()).await.is_err());
        fs::remove_file(&formulas)?;

        fs::create_dir(&formulas)?;
        for name in ["lime-curd.toml", "secret.toml"] {
            symlink(&secret, formulas.join(name))?;
        }
        let Err(FolderError::Files(faults)) = import_folder(&keeper, folder.path(), at(0)).await else {
            return Err("imported".into());
        };
        assert_eq!(faults.len(), 2);
        assert!(faults[0].what.contains("a link"), "{faults:?}");
        assert!(export_folder(&keeper, folder.path()).await.is_err());
        fs::remove_file(formulas.join("lime-curd.toml"))?;

        // A link laid where the file is written aside.
        let aside = formulas.join(format!(".lime-curd.toml.{}.part", std::process::id()));
        symlink(&secret, &aside)?;
        export_folder(&keeper, folder.path()).await?;
        assert_eq!(fs::read_to_string(formulas.join("lime-curd.toml"))?, "one");
        assert!(aside.symlink_metadata().is_err(), "nothing is left aside");

        assert_eq!(fs::read_dir(outside.path())?.count(), 1);
        assert_eq!(fs::read_to_string(&secret)?, "not for the kitchen");
        assert_eq!(keeper.all(Kept::Formula).await?.len(), 1);
        Ok(())
    })
}

#[test]
fn an_export_that_cannot_write_leaves_what_was_there() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let file = folder.path().join("formulas/lime-curd.toml");
    run(async {
        let keeper = Memory::new();
        keeper.save(curd("one", None)).await?;
        export_folder(&keeper, folder.path()).await?;
        keeper.save(curd("two", Some(1))).await?;
        // A folder where the file is to be written aside cannot be taken away or written over.
        let aside = folder
            .path()
            .join(format!("formulas/.lime-curd.toml.{}.part", std::process::id()));
        fs::create_dir(&aside)?;
        let Err(FolderError::Write(fault)) = export_folder(&keeper, folder.path()).await else {
            return Err("written".into());
        };
        assert_eq!(fault.file, file);
        assert_eq!(fs::read_to_string(&file)?, "one");
        Ok(())
    })
}

#[test]
fn more_than_a_folder_may_hold_is_refused() -> Result<(), Any> {
    let folder = tempfile::tempdir()?;
    let formulas = folder.path().join("formulas");
    fs::create_dir(&formulas)?;
    let large = formulas.join("a-0.toml");
    fs::write(&large, vec![b'x'; 1 << 20])?;
    for number in 1..=MOST_FOLDER_BYTES >> 20 {
        // The same file under another name takes no room.
        fs::hard_link(&large, formulas.join(format!("a-{number}.toml")))?;
    }
    let Err(refused) = run(import_folder(&Memory::new(), folder.path(), at(0))) else {
        return Err("imported".into());
    };
    assert!(refused.to_string().contains("more than 256 MiB"), "{refused}");
    Ok(())
}
