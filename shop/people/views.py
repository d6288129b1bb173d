"""Log-in, staff and letterhead."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import views as auth_views
from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render

from circuits.paper.title_block import TitleBlock
from shop.people.forms import LogInForm, ShopForm, StaffForm
from shop.people.models import ShopRow, User


class LogIn(auth_views.LoginView):
    """The door."""

    template_name = "shop/people/log_in.html"
    authentication_form = LogInForm
    redirect_authenticated_user = True
    extra_context = {"sheet": TitleBlock("Log in")}


class LogOut(auth_views.LogoutView):
    """Leave; by POST only."""


class ChangePassword(auth_views.PasswordChangeView):
    """One's own password."""

    template_name = "shop/people/password.html"
    success_url = "/"
    extra_context = {"sheet": TitleBlock("Password")}


@permission_required("people.edit_shop", raise_exception=True)
def shop(request: HttpRequest) -> HttpResponse:
    """The letterhead, and the way to every other setting."""
    row = ShopRow.objects.first()
    form = ShopForm(request.POST or None, request.FILES or None, instance=row)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, "Letterhead stored. Papers made from now on carry it.")
        return redirect("people:shop")
    return render(request, "shop/people/shop.html", {"form": form, "shop": row, "sheet": TitleBlock("Shop")})


@permission_required("people.edit_shop", raise_exception=True)
def logo(request: HttpRequest) -> HttpResponse:
    """The logo as stored."""
    row = get_object_or_404(ShopRow, logo_png__isnull=False)
    return HttpResponse(bytes(row.logo_png or b""), content_type="image/png")


@permission_required("people.edit_staff", raise_exception=True)
def staff(request: HttpRequest) -> HttpResponse:
    """Everyone who may or might log in."""
    people = User.objects.order_by("-is_active", "username")
    return render(request, "shop/people/staff.html", {"people": people, "sheet": TitleBlock("Staff")})


@permission_required("people.edit_staff", raise_exception=True)
def member(request: HttpRequest, user_id: int | None = None) -> HttpResponse:
    """One member of staff: new or changed."""
    user = get_object_or_404(User, pk=user_id) if user_id else None
    form = StaffForm(request.POST or None, instance=user)
    if request.method == "POST" and form.is_valid():
        saved = form.save()
        messages.success(request, f"{saved} stored.")
        return redirect("people:staff")
    title = str(user) if user else "New member of staff"
    return render(request, "shop/people/member.html", {"form": form, "member": user, "sheet": TitleBlock(title)})
