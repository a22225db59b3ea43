"""What the plans to scale show: site, roof, elevations, storage, attachments. Points in feet as in the project file, words finished."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.views.plans.attachments import AttachmentSchedule, attachment_schedule_of
from permitgen.views.plans.elevations import Elevations, elevations_of
from permitgen.views.plans.roof import RoofPlan, roof_plan_of
from permitgen.views.plans.site import SitePlan, site_plan_of
from permitgen.views.plans.storage import StoragePlan, storage_plan_of

if TYPE_CHECKING:
    from permitgen.evaluation.evaluation import Evaluation


@dataclass(frozen=True, slots=True)
class Plans:
    """All plans of one evaluation."""

    site: SitePlan
    roof: RoofPlan
    elevations: Elevations
    storage: StoragePlan
    attachments: AttachmentSchedule


def plans_of(evaluation: Evaluation) -> Plans:
    """Return the plans to scale; each says itself what the project does not state."""
    return Plans(
        site=site_plan_of(evaluation),
        roof=roof_plan_of(evaluation),
        elevations=elevations_of(evaluation),
        storage=storage_plan_of(evaluation),
        attachments=attachment_schedule_of(evaluation),
    )
