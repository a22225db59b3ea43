"""What a department once asked for, and how it is looked for in every later project."""

from __future__ import annotations

from permitgen.project.fields import Day, Section, Text, Words, described


class DemandModel(
    Section,
    says="What a comment asked for, in words of your own, and one way to look for it: ``states``, ``shows``, ``attaches`` or ``answer``.",
):
    for_: Text = described(
        ..., "What was asked for, in words of your own, for example the height of the storage units; not the comment.", alias="for"
    )
    states: Text = described("", "Key of the project file that has to be stated, for example place.height; of each thing that of names.")
    of: Text = described(
        "",
        "Kind of equipment, or the section circuits, raceways, control or loads, whose things each state the key; left out, the key is a "
        "whole one.",
    )
    at_least: Text = described("", "Least figure that the key has to state, with its unit.")
    at_most: Text = described("", "Largest figure that the key has to state, with its unit.")
    shows: Text = described("", "Words that a document has to show, whatever their letter case and line breaks.")
    on: Text = described(
        "", "Document that has to show the words: a sheet by its number, placard, labels, calculations, checklist or fire notice."
    )
    attaches: Text = described("", "Words in the title of a document that has to be attached.")
    answer: Text = described("", "What was right to answer where nothing was to be changed; later submissions have it ready.")
    section: Text = described("", "Section on which that answer rests, as it is printed.")
    with_: Words = described(
        (),
        "Asked for only where the installation has each of these: photovoltaic, energy storage, generator, vehicle, array on a roof, "
        "rapid shutdown, source in parallel, backup.",
        alias="with",
    )
    without: Words = described((), "Not asked for where the installation has one of these, named as for with.")


class AskedModel(DemandModel, says="A demand of this department, kept in its jurisdiction file, and where it was made before."):
    in_: dict[str, Day] = described(..., "Day on which it was asked, by the number of each project in which it was.", alias="in")
    answered: dict[str, Text] = described(dict, "What answered it, a sheet or a few words, by the number of the project.")
