"""Addresses of this app; views import what they need."""

from django.urls import URLPattern, include, path
from django.urls.resolvers import URLResolver

from people.views import accounts, church, happened, join, members, ministries, persons
from people.views.patterns import patterns

of_everyone: list[URLPattern | URLResolver] = [
    path("sign-in/", accounts.sign_in, name="sign-in"),
    path("sign-out/", accounts.sign_out, name="sign-out"),
    path("account/", accounts.account, name="account"),
    path("account/password/", accounts.password_change, name="password-change"),
    path("forgotten/", accounts.password_reset, name="password-reset"),
    path("forgotten/sent/", accounts.password_reset_sent, name="password-reset-sent"),
    path("forgotten/<uidb64>/<token>/", accounts.password_reset_confirm, name="password-reset-confirm"),
    path("join/<str:secret>/", join.join, name="join"),
    path("patterns/", patterns, name="patterns"),
    path("healthz/", accounts.healthz, name="healthz"),
]
of_a_ministry: list[URLPattern | URLResolver] = [
    path("", church.church, name="church"),
    path("first-list/", church.first_list, name="first-list"),
    path("church/", ministries.ministry_edit, name="ministry-edit"),
    path("members/", members.members, name="members"),
    path("members/invite/", members.invitation_new, name="invitation-new"),
    path("members/invitations/<int:invitation>/again/", members.invitation_again, name="invitation-again"),
    path("members/invitations/<int:invitation>/withdraw/", members.invitation_withdraw, name="invitation-withdraw"),
    path("members/<int:member>/", members.member_edit, name="member-edit"),
    path("members/<int:member>/serves/", members.member_serves, name="member-serves"),
    path("people/", persons.persons, name="persons"),
    path("people/add/", persons.person_add, name="person-add"),
    path("people/<uuid:uid>/", persons.person_edit, name="person-edit"),
    path("people/<uuid:uid>/remove/", persons.person_remove, name="person-remove"),
    path("happened/", happened.happened, name="happened"),
    path("happened/acts/<int:act>/", happened.happened_act, name="happened-act"),
    path("happened/<slug:kind>/<uuid:uid>/", happened.happened_thing, name="happened-thing"),
    path("undo/<int:act>/", happened.undo, name="undo"),
]
urlpatterns = [*of_everyone, path("<slug:ministry>/", include(of_a_ministry))]
