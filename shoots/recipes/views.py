from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html_join
from django.views.decorators.http import require_POST

from shared.access.doors import NOBODY, STUDIO, door
from shared.access.once import once
from shared.business.queries import today
from shared.edits import EditedMeanwhile
from shared.errors import Refusal
from shoots.brief.models import Dish
from shoots.plan.actions import tell_allergens as write_allergens
from shoots.plan.allergens import CAUTION
from shoots.plan.forms import AllergenForm
from shoots.plan.models import Moment, Recipe, Step
from shoots.plan.moments import DRAFT, HOW_OFTEN
from shoots.plan.queries import allergens_suggested, cue_words, recipe_of
from shoots.recipes import actions, forms, queries
from shoots.recipes.lines import sentence_lines
from shoots.recipes.merging import parts_suggested
from shoots.recipes.models import OwnKind, OwnWord, PutBy

# The recipe of a dish


@door(reads=STUDIO, writes=STUDIO)
@once
def dish_recipe(request: HttpRequest, pk: int) -> HttpResponse:
    dish = get_object_or_404(Dish.objects.select_related("shoot"), pk=pk)
    if request.method != "POST":
        return _recipe_page(request, dish)
    edits = queries.edits_of(dish)
    if edits and "edits" in request.POST:
        return _reread(request, dish, edits)
    form = forms.RecipeForm(request.POST)
    if form.is_valid():
        try:
            recipe = actions.read_recipe_into(dish, text=form.cleaned_data["text"])
        except actions.RecipeHasEdits:
            return _ask_reread(request, dish, edits, form.cleaned_data["text"])
        except Refusal as refusal:
            form.add_error("text", str(refusal))
        else:
            return _was_read(request, dish, recipe)
    form.shorten()
    return _recipe_page(request, dish, status=422, recipe_form=form)


def _reread(request: HttpRequest, dish: Dish, edits: queries.Edits) -> HttpResponse:
    """The answer to the question what becomes of the edits."""
    form = forms.RereadForm(request.POST, edits=edits)
    if not form.is_valid():
        cut = form.shorten()
        return _ask_reread(request, dish, edits, "" if cut else form.data.get("text", ""), form=form)
    text, way = form.cleaned_data["text"], form.cleaned_data["edits"]
    if way == forms.MINE:
        messages.success(request, "Nothing was changed. The new text is still in the field below.")
        return _recipe_page(request, dish, recipe_form=forms.RecipeForm(initial={"text": text}))
    try:
        recipe = actions.read_recipe_into(dish, text=text, edits=way)
    except Refusal as refusal:
        form.add_error("text", str(refusal))
        return _ask_reread(request, dish, edits, text, form=form)
    return _was_read(request, dish, recipe)


def _ask_reread(request: HttpRequest, dish: Dish, edits: queries.Edits, text: str, *, form: Any = None) -> HttpResponse:
    try:
        rereading = queries.rereading_of(dish, text)
    except ValueError:  # no recipe at all: the form says so
        rereading = None
    if form is None:
        form = forms.RereadForm(edits=edits, rereading=rereading, initial={"text": text})
    elif rereading:
        form.explain(rereading)
    context = {"dish": dish, "edits": edits, "rereading": rereading, "form": form}
    return render(request, "shoots/recipes/reread_recipe.html", context, status=422)


def _was_read(request: HttpRequest, dish: Dish, recipe: Recipe) -> HttpResponse:
    steps, count = recipe.steps.count(), dish.moments.count()
    messages.success(
        request,
        f"{steps} step{'' if steps == 1 else 's'} and {count} moment{'' if count == 1 else 's'} are read. Go through them with the cook.",
    )
    return redirect("dish_recipe", dish.pk)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def bring_reading_back(request: HttpRequest, pk: int) -> HttpResponse:
    dish = get_object_or_404(Dish, pk=pk)
    if actions.bring_reading_back(dish):
        messages.success(
            request, "The text before is back, with its steps and moments. The other one is put by instead."
        )
    return redirect("dish_recipe", pk)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def talk_recipe_through(request: HttpRequest, pk: int) -> HttpResponse:
    dish = get_object_or_404(Dish.objects.select_related("recipe"), pk=pk, recipe__isnull=False)
    actions.talk_recipe_through(dish.recipe, on=today(timezone.now()))
    messages.success(
        request, "Written down: talked through with the cook today. Every moment on the page counts as agreed."
    )
    return redirect("dish_recipe", pk)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def tell_allergens(request: HttpRequest, pk: int) -> HttpResponse:
    dish = get_object_or_404(Dish.objects.select_related("shoot"), pk=pk)
    suggested = allergens_suggested(recipe_of(dish))
    form = AllergenForm(request.POST, instance=dish, suggested=suggested, prefix="a")
    if form.is_valid():
        try:
            write_allergens(
                dish,
                allergens=form.allergens(),
                told_by=form.cleaned_data["allergens_told_by"],
                version=form.cleaned_data["version"],
            )
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"Written down as {dish.allergens_told_by} told it.")
            return redirect("dish_recipe", pk)
    return _recipe_page(request, dish, status=422, allergen_form=form)


@door(reads=STUDIO, writes=STUDIO)
def edit_recipe(request: HttpRequest, pk: int) -> HttpResponse:
    recipe = get_object_or_404(Recipe.objects.select_related("dish__shoot"), dish_id=pk)
    form = forms.RecipeHeadForm(request.POST or None, instance=recipe)
    lines = forms.IngredientFormSet(request.POST or None, prefix="i", initial=forms.ingredient_rows(recipe))
    if request.method == "POST" and all([form.is_valid(), lines.is_valid()]):
        fresh = Recipe.objects.get(pk=recipe.pk)
        typed = {name: form.cleaned_data[name] for name in (*form.Meta.fields, "version")}
        try:
            actions.correct_recipe(fresh, ingredients=lines.lines(), **typed)
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            messages.success(request, "The recipe is saved as you corrected it.")
            return redirect("dish_recipe", pk)
    context = {"dish": recipe.dish, "recipe": recipe, "form": form, "lines": lines}
    return render(request, "shoots/recipes/edit_recipe.html", context, status=422 if form.is_bound else 200)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def settle_unread(request: HttpRequest, pk: int) -> HttpResponse:
    recipe = get_object_or_404(Recipe, dish_id=pk)
    form = forms.UnreadForm(request.POST)
    if form.is_valid():
        try:
            actions.settle_unread(recipe, **form.cleaned_data)
        except EditedMeanwhile as refusal:
            messages.error(request, str(refusal))
    return redirect(f"{reverse('dish_recipe', args=[pk])}#unread")


# Steps


@door(reads=STUDIO, writes=STUDIO)
def edit_step(request: HttpRequest, pk: int) -> HttpResponse:
    step = get_object_or_404(Step.objects.select_related("recipe__dish__shoot"), pk=pk)
    form = forms.StepForm(request.POST or None, instance=step)
    if form.is_valid():
        try:
            actions.change_step(step, fields=form.Meta.fields, version=form.cleaned_data["version"])
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            return redirect("dish_recipe", step.recipe.dish_id)
    return _step_page(request, pk, status=422 if form.is_bound else 200, form=form)


def _step_page(
    request: HttpRequest, pk: int, *, status: int = 200, form: Any = None, split_form: Any = None
) -> HttpResponse:
    step = get_object_or_404(Step.objects.select_related("recipe__dish__shoot"), pk=pk)
    context = {
        "step": step,
        "dish": step.recipe.dish,
        "count": step.recipe.steps.count(),
        "form": form or forms.StepForm(instance=step),
        "split_form": split_form
        or forms.SplitStepForm(initial={"lines": "\n".join(sentence_lines(step.text))}, prefix="p"),
    }
    return render(request, "shoots/recipes/edit_step.html", context, status=status)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def split_step(request: HttpRequest, pk: int) -> HttpResponse:
    step = get_object_or_404(Step.objects.select_related("recipe__dish"), pk=pk)
    form = forms.SplitStepForm(request.POST, prefix="p")
    if not form.is_valid():
        return _step_page(request, pk, status=422, split_form=form)
    parts = actions.split_step(step, lines=form.cleaned_data["lines"])
    messages.success(request, f"The step is {len(parts)} steps now.")
    return _to_step(step)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def join_step(request: HttpRequest, pk: int) -> HttpResponse:
    step = get_object_or_404(Step.objects.select_related("recipe__dish"), pk=pk)
    try:
        actions.join_step(step)
    except Refusal as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, "The two steps are one now.")
    return _to_step(step)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def move_step(request: HttpRequest, pk: int) -> HttpResponse:
    step = get_object_or_404(Step.objects.select_related("recipe"), pk=pk)
    actions.move_step(step, places=_places(request))
    return redirect("edit_step", pk)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def remove_step(request: HttpRequest, pk: int) -> HttpResponse:
    step = get_object_or_404(Step.objects.select_related("recipe"), pk=pk)
    actions.remove_step(step)
    messages.success(request, "The step is out. Its words stand among the lines put aside; its moments stay.")
    return redirect("dish_recipe", step.recipe.dish_id)


@door(reads=STUDIO, writes=STUDIO)
def edit_steps(request: HttpRequest, pk: int) -> HttpResponse:
    recipe = get_object_or_404(Recipe.objects.select_related("dish__shoot"), dish_id=pk)
    texts = [step.text for step in recipe.steps.all()]
    shown = [" ".join(text.split()) for text in texts]
    if len(texts) == 1:
        shown = sentence_lines(texts[0])
    initial = {"lines": "\n".join(shown) or recipe.source, "version": recipe.version}
    form = forms.StepLinesForm(request.POST or None, initial=initial)
    if form.is_valid():
        version = form.cleaned_data["version"] or 0
        try:
            count = actions.write_steps(recipe, lines=form.cleaned_data["lines"], version=version)
        except EditedMeanwhile as refusal:
            form.say(refusal)
            form.data = form.data.copy()
            form.data["version"] = str(Recipe.objects.values_list("version", flat=True).get(pk=recipe.pk))
        else:
            messages.success(request, f"The recipe has {count} step{'' if count == 1 else 's'} now.")
            return redirect("dish_recipe", pk)
    context = {"dish": recipe.dish, "recipe": recipe, "count": len(texts), "form": form}
    return render(request, "shoots/recipes/edit_steps.html", context, status=422 if form.is_bound else 200)


# Moments


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def add_moment(request: HttpRequest, pk: int) -> HttpResponse:
    dish = get_object_or_404(Dish.objects.select_related("shoot"), pk=pk)
    form = forms.AddMomentForm(request.POST, dish=dish, lexicon=queries.studio_lexicon(), prefix="m")
    if not form.is_valid():
        return _recipe_page(request, dish, status=422, moment_form=form)
    return _to_moment(actions.add_moment(dish, **form.moment_values()))


@door(reads=STUDIO, writes=STUDIO)
def edit_moment(request: HttpRequest, pk: int) -> HttpResponse:
    moment = get_object_or_404(Moment.objects.select_related("dish__shoot", "step"), pk=pk)
    form = forms.MomentForm(request.POST or None, instance=moment, lexicon=queries.studio_lexicon())
    if form.is_valid():
        typed = form.changed_values()
        for name, value in typed.items():
            setattr(moment, name, value)
        try:
            actions.change_moment(moment, fields=typed, version=form.cleaned_data["version"])
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            word = form.cleaned_data["learn"]
            return _learn(request, moment.dish, word, typed["action"]) if word else _to_moment(moment)
    return _moment_page(request, pk, status=422 if form.is_bound else 200, form=form)


def _moment_page(request: HttpRequest, pk: int, *, status: int = 200, **bound: Any) -> HttpResponse:
    moment = get_object_or_404(Moment.objects.select_related("dish__shoot", "step"), pk=pk)
    first, second = parts_suggested(moment.what)
    context = {
        "moment": moment,
        "dish": moment.dish,
        "form": bound.get("form") or forms.MomentForm(instance=moment, lexicon=queries.studio_lexicon()),
        "split_form": bound.get("split_form")
        or forms.SplitMomentForm(initial={"first": first, "second": second}, prefix="p"),
        "join_form": bound.get("join_form") or forms.JoinMomentForm(moment=moment, prefix="j"),
    }
    return render(request, "shoots/recipes/edit_moment.html", context, status=status)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def split_moment(request: HttpRequest, pk: int) -> HttpResponse:
    moment = get_object_or_404(Moment, pk=pk)
    form = forms.SplitMomentForm(request.POST, prefix="p")
    if not form.is_valid():
        return _moment_page(request, pk, status=422, split_form=form)
    actions.split_moment(moment, **form.cleaned_data)
    messages.success(request, f"“{moment}” is two moments now. It can be had back below the list.")
    return _to_moment(moment)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def join_moments(request: HttpRequest, pk: int) -> HttpResponse:
    moment = get_object_or_404(Moment, pk=pk)
    form = forms.JoinMomentForm(request.POST, moment=moment, prefix="j")
    if not form.is_valid():
        return _moment_page(request, pk, status=422, join_form=form)
    first, second = sorted([moment, form.cleaned_data["other"]], key=lambda row: (row.order, row.pk))
    joined = actions.join_moments(first, second)
    messages.success(request, f"The two are one moment now: “{joined}”. Both can be had back below the list.")
    return _to_moment(joined)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def keep_moment(request: HttpRequest, pk: int) -> HttpResponse:
    moment = get_object_or_404(Moment, pk=pk)
    actions.keep_moment(moment)
    return _to_moment(moment)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def keep_moments(request: HttpRequest, pk: int) -> HttpResponse:
    dish = get_object_or_404(Dish, pk=pk)
    step = get_object_or_404(Step, pk=request.POST["step"], recipe__dish=dish) if _is_key(request, "step") else None
    kept = actions.keep_moments(dish, step=step)
    messages.success(request, f"{kept} moment{' is' if kept == 1 else 's are'} agreed.")
    return _to_step(step) if step else redirect(f"{reverse('dish_recipe', args=[pk])}#moments")


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def move_moment(request: HttpRequest, pk: int) -> HttpResponse:
    moment = get_object_or_404(Moment, pk=pk)
    actions.move_moment(moment, places=_places(request))
    return _to_moment(moment)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def order_moments(request: HttpRequest, pk: int) -> HttpResponse:
    dish = get_object_or_404(Dish, pk=pk)
    form = forms.OrderForm(request.POST)
    if not form.is_valid():
        return HttpResponse("This is no order of moments. Nothing was changed.", status=422, content_type="text/plain")
    actions.order_moments(dish, keys=form.cleaned_data["order"])
    return HttpResponse(status=204)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def remove_moment(request: HttpRequest, pk: int) -> HttpResponse:
    moment = get_object_or_404(Moment, pk=pk)
    actions.remove_moment(moment)
    messages.success(request, f"“{moment}” is out; it can be had back below the list. A shot of it stays on the list.")
    return redirect(f"{reverse('dish_recipe', args=[moment.dish_id])}#moments")


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def bring_moments_back(request: HttpRequest, pk: int) -> HttpResponse:
    put_by = get_object_or_404(PutBy.objects.exclude(kind=PutBy.Kind.READING).select_related("dish"), pk=pk)
    brought = actions.bring_moments_back(put_by)
    messages.success(request, f"“{put_by}” stands in its place again.")
    return _to_moment(brought[0])


# The studio's own words


@door(reads=STUDIO)
def own_words(request: HttpRequest) -> HttpResponse:
    return _words_page(request)


def _words_page(request: HttpRequest, *, status: int = 200, form: Any = None) -> HttpResponse:
    context = {
        "words": queries.words_with_kinds(),
        "kinds": OwnKind.objects.all(),
        "form": form or forms.LearnWordForm(lexicon=queries.studio_lexicon()),
    }
    return render(request, "shoots/recipes/own_words.html", context, status=status)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def learn_word(request: HttpRequest) -> HttpResponse:
    form = forms.LearnWordForm(request.POST, lexicon=queries.studio_lexicon())
    if not form.is_valid():
        return _words_page(request, status=422, form=form)
    typed = form.cleaned_data
    return _learn(request, None, typed["word"], typed["action"], step=typed["step"], is_sure=typed["sure"])


def _learn(
    request: HttpRequest, dish: Dish | None, word: str, action: str, *, step: Step | None = None, is_sure: bool = False
) -> HttpResponse:
    """Learn the word and go back to where it was met; where it means another kind already, ask."""
    try:
        learnt = actions.learn_word(
            word, action=action, by=_name(request), on=today(timezone.now()), is_sure=is_sure, step=step
        )
    except actions.WordMeansAnother as refusal:
        context = {"refusal": refusal, "word": word, "action": action, "step": step, "back": _back(dish, step)}
        return render(request, "shoots/recipes/word_taken.html", context, status=409)
    except actions.WordUnlearnable as refusal:
        data = {"word": word, "action": action, "step": step.pk if step else ""}
        form = forms.LearnWordForm(data, lexicon=queries.studio_lexicon())
        form.add_error("word", str(refusal))
        return _words_page(request, status=422, form=form)
    name = queries.name_of_kind(learnt.action, queries.studio_lexicon())
    messages.success(request, f"Learnt: “{learnt}” means {name}, from the next reading on.")
    return redirect(_back(dish, step))


def _back(dish: Dish | None, step: Step | None) -> str:
    if step:
        return f"{reverse('dish_recipe', args=[step.recipe.dish_id])}#step-{step.pk}"
    return reverse("dish_recipe", args=[dish.pk]) if dish else reverse("own_words")


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def learn_word_of_moment(request: HttpRequest, pk: int) -> HttpResponse:
    """One press beside a moment whose words the reader would not read as its kind."""
    moment = get_object_or_404(Moment.objects.select_related("dish"), pk=pk)
    found = queries.words_to_learn([moment], queries.studio_lexicon())
    if pk not in found:
        return _to_moment(moment)
    return _learn(request, moment.dish, found[pk][0], moment.action)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def forget_word(request: HttpRequest, pk: int) -> HttpResponse:
    word = get_object_or_404(OwnWord, pk=pk)
    actions.forget_word(word)
    messages.success(request, f"“{word}” is forgotten. Moments that came from it stay.")
    return redirect("own_words")


@door(reads=STUDIO, writes=STUDIO)
@once
def add_own_kind(request: HttpRequest) -> HttpResponse:
    form = forms.OwnKindForm(request.POST or None, lexicon=queries.studio_lexicon())
    if form.is_valid():
        actions.add_own_kind(by=_name(request), on=today(timezone.now()), **form.changed_values())
        return redirect("own_words")
    return render(request, "shoots/recipes/edit_own_kind.html", {"form": form}, status=422 if form.is_bound else 200)


@door(reads=STUDIO, writes=STUDIO)
def edit_own_kind(request: HttpRequest, pk: int) -> HttpResponse:
    kind = get_object_or_404(OwnKind, pk=pk)
    form = forms.OwnKindForm(request.POST or None, instance=kind, lexicon=queries.studio_lexicon())
    if form.is_valid():
        typed = form.changed_values()
        for name, value in typed.items():
            setattr(kind, name, value)
        try:
            actions.change_own_kind(kind, fields=typed, version=form.cleaned_data["version"])
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            return redirect("own_words")
    context = {"form": form, "kind": OwnKind.objects.get(pk=pk)}
    return render(request, "shoots/recipes/edit_own_kind.html", context, status=422 if form.is_bound else 200)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def remove_own_kind(request: HttpRequest, pk: int) -> HttpResponse:
    kind = get_object_or_404(OwnKind, pk=pk)
    words = actions.remove_own_kind(kind)
    also = f", with {words} word{'' if words == 1 else 's'} for it" if words else ""
    messages.success(request, f"“{kind}” is out{also}. Moments of it stay as they are.")
    return redirect("own_words")


# The page of a recipe


def _recipe_page(request: HttpRequest, dish: Dish, *, status: int = 200, **bound: Any) -> HttpResponse:
    recipe, lexicon = recipe_of(dish), queries.studio_lexicon()
    suggested = allergens_suggested(recipe)
    moments = list(dish.moments.select_related("step"))
    learn = queries.words_to_learn(moments, lexicon)
    names = {key: cue.words["en"] for key, cue in cue_words().items()}
    unread = queries.unread_of(recipe) if recipe else []
    context = {
        "dish": dish,
        "recipe": recipe,
        "steps": queries.steps_shown(recipe),
        "ingredients": queries.ingredients_shown(recipe),
        "moments": [
            {
                "row": moment,
                "how_often": HOW_OFTEN[moment.repeat],
                "cues": [names[cue] for cue in moment.cues if cue in names],
                "learn": learn.get(moment.pk),
            }
            for moment in moments
        ],
        "drafts": sum(moment.is_draft for moment in moments),
        "draft_words": DRAFT,
        "unread": unread,
        "open_lines": sum(not line.done for line in unread),
        "earlier": queries.earlier_reading(dish),
        "taken_out": queries.taken_out(dish),
        "kind_options": format_html_join("", '<option value="{}">{}</option>', queries.kind_choices(lexicon)),
        "suggested": suggested,
        "caution": CAUTION,
        "recipe_form": bound.get("recipe_form") or forms.RecipeForm(),
        "moment_form": bound.get("moment_form") or forms.AddMomentForm(dish=dish, lexicon=lexicon, prefix="m"),
        "allergen_form": bound.get("allergen_form") or AllergenForm(instance=dish, suggested=suggested, prefix="a"),
    }
    return render(request, "shoots/recipes/dish_recipe.html", context, status=status)


def _to_moment(moment: Moment) -> HttpResponse:
    return redirect(f"{reverse('dish_recipe', args=[moment.dish_id])}#moment-{moment.pk}")


def _to_step(step: Step) -> HttpResponse:
    return redirect(f"{reverse('dish_recipe', args=[step.recipe.dish_id])}#step-{step.pk}")


def _places(request: HttpRequest) -> int:
    return -1 if request.POST.get("way") == "up" else 1


def _is_key(request: HttpRequest, name: str) -> bool:
    key = request.POST.get(name, "")
    return key.isascii() and key.isdigit() and len(key) <= 18


def _name(request: HttpRequest) -> str:
    user = request.user
    return user.get_full_name() or user.get_username()
