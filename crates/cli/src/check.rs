//! `gainsay check`: what is to be checked and what with, and what the exit code says of it.

use std::{
    borrow::Cow,
    io::{self, BufWriter},
};

use gainsay::Severity;

use crate::{
    args::{CheckArgs, Printed, WorkArgs},
    changed::{Changed, GitError},
    checker::check_all,
    comments::{self, Remarked},
    exit::{CLEAN, FOUND, TROUBLE},
    files::{Source, sources, wanted},
    mend::{MendError, Mender, Task, told},
    output,
    print::complain,
    settings::{self, Chosen, SettingsError},
    verify,
    watch::watch,
};

/// Runs the command and returns its exit code.
pub(crate) fn run(args: &CheckArgs) -> u8 {
    if !args.watch {
        return once(args).0;
    }
    let mut code = CLEAN;
    let watched = watch(&args.work.paths, &settings::place(&args.work), || {
        let (found, heard) = once(args);
        code = found;
        heard
    });
    match watched {
        Ok(()) => code,
        Err(error) => {
            complain(&error.to_string());
            TROUBLE
        }
    }
}

/// Checks all files once. Returns the exit code, and whether anybody still reads the
/// results.
fn once(args: &CheckArgs) -> (u8, bool) {
    let Some((found, mut chosen, mut troubled)) = prepare(&args.work) else {
        return (TROUBLE, true);
    };
    chosen.proofs = args.proof.is_some();
    if let Some(least) = args.fail_on {
        chosen.fail_on = least.into();
    }
    chosen.write_known.clone_from(&args.write_known);
    if found.is_empty() && args.format == Printed::Text {
        // There is nothing to count.
        if troubled {
            return (TROUBLE, true);
        }
        if let Some(revision) = &args.work.changed_since {
            complain(&format!("nothing has changed since {revision}"));
        }
        return (CLEAN, true);
    }
    let task = args.export.map(Task::Export);
    if let Some(task) = task.or_else(|| args.mend.then_some(Task::Mend)) {
        match mend_all(&found, &chosen, task, args) {
            Ok(made) if args.dry_run => {
                let code = if made > 0 { FOUND } else { CLEAN };
                return (if troubled { TROUBLE } else { code }, true);
            }
            Ok(_) => {}
            Err(Unmended) => return (TROUBLE, true),
        }
    }

    let copy = args.comments.as_deref();
    if let Some(Err(error)) = copy.map(|copy| comments::may_write(&found, copy)) {
        complain(&error.to_string());
        return (TROUBLE, true);
    }
    let proofs = match args.proof.as_deref().map(verify::create).transpose() {
        Ok(file) => file.map(BufWriter::new),
        Err(error) => {
            complain(&format!("cannot write the proofs: {error}"));
            return (TROUBLE, true);
        }
    };
    let mut output = output::make(args, chosen.fail_on);
    let done = if let (Some(copy), [source]) = (copy, found.as_slice()) {
        let mut remarked = Remarked::new(&mut *output);
        let done = check_all(&found, &chosen, &args.work, proofs, &mut remarked);
        if let Err(error) = remarked.write(source, copy) {
            complain(&error.to_string());
            troubled = true;
        }
        done
    } else {
        check_all(&found, &chosen, &args.work, proofs, &mut *output)
    };
    troubled |= done.troubled;
    if troubled {
        return (TROUBLE, done.heard);
    }
    let failing = Severity::ALL
        .into_iter()
        .filter(|&severity| severity >= chosen.fail_on)
        .map(|severity| done.totals.count(severity))
        .sum::<u64>();
    (if failing > 0 { FOUND } else { CLEAN }, done.heard)
}

/// What is to be checked, what with, and whether some path stands for nothing, which has been
/// told; `None` where the settings are wrong, which has been told too.
pub(crate) fn prepare(work: &WorkArgs) -> Option<(Vec<Source>, Chosen, bool)> {
    let told = |errors: Vec<SettingsError>| {
        for error in errors {
            complain(&error.to_string());
        }
    };
    let mut chosen = settings::choose(work).map_err(told).ok()?;
    let paths = match work.only_wanted {
        true => wanted(&work.paths, &chosen.selection),
        false => Cow::Borrowed(work.paths.as_slice()),
    };
    let (mut found, missing) = sources(&paths, work.file_format, &chosen.selection);
    for error in &missing {
        complain(&error.to_string());
    }
    settings::tell_others(work, &found);
    if let Some(revision) = &work.changed_since {
        let told = |error: GitError| complain(&error.to_string());
        let changed = Changed::since(revision, &mut found).map_err(told).ok()?;
        chosen.changed = Some(changed);
    }
    Some((found, chosen, !missing.is_empty()))
}

/// Some file could not be mended, which has been told.
struct Unmended;

/// Makes the edits in all files, or shows them. Returns how many they are.
fn mend_all(
    found: &[Source],
    chosen: &Chosen,
    task: Task,
    args: &CheckArgs,
) -> Result<usize, Unmended> {
    let mut mender = Mender::new(chosen, args.work.threads, task, args.dry_run);
    let mut out = io::stdout().lock();
    let (mut all, mut failed) = (0, false);
    for source in found {
        match mender.file(source, &mut out) {
            Ok(made) => {
                all += made;
                if made > 0 && !args.dry_run {
                    complain(&told(&source.path, task, made));
                }
            }
            Err(MendError::Output(error)) if error.kind() == io::ErrorKind::BrokenPipe => break,
            Err(error) => {
                complain(&error.to_string());
                failed = true;
            }
        }
    }
    if failed { Err(Unmended) } else { Ok(all) }
}
