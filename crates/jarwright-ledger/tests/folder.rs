//! TOML files in and out.

mod common;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use common::{Any, at, curd, name, run, who};
use jarwright_kitchen::ports::{Draft, Keeper, Kept, Memory};
use jarwright_ledger::Ledger;
use jarwright_ledger::folder::{Became, FolderError, export_folder, import_folder};

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
        assert!(imported.len() > 2);
        assert!(imported.iter().all(|one| one.became == Became::New && one.number == 1));
        let kitchen = ledger
            .newest(Kept::Kitchen, &name("kitchen"))
            .await?
            .ok_or("no kitchen")?;
        assert_eq!(kitchen.by.as_str(), "import");

        let again = import_folder(&ledger, &demo(), at(60)).await?;
        assert!(again.iter().all(|one| one.became == Became::Same && one.number == 1));

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
        assert_eq!((imported[0].number, imported[0].became), (2, Became::Newer));
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
    run(async {
        let keeper = Memory::new();
        let Err(FolderError::Files(faults)) = import_folder(&keeper, folder.path(), at(0)).await else {
            return Err("imported".into());
        };
        assert_eq!(faults.len(), 4);
        let words = FolderError::Files(faults).to_string();
        for expected in [
            "rename it to lime-curd.toml",
            "line 2",
            "larger than",
            "not an ordinary file",
        ] {
            assert!(words.contains(expected), "{expected:?} in {words}");
        }
        assert_eq!(keeper.all(Kept::Kitchen).await?, []);
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
        assert_eq!(export_folder(&keeper, folder.path()).await?.written, [file.clone()]);
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
    assert_eq!(run(import_folder(&Memory::new(), folder.path(), at(0)))?, []);
    Ok(())
}
