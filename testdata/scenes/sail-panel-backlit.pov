// A sail panel of the invented camper van held against a window: daylight comes
// through the mesh, and the face lies in the shade.
#include "photo.inc"
#declare About = "invented: a camper van's sail panel in dark grey plastic, two holes, mesh lit from behind, tilted 4 degrees";
#declare Seed = 106;
#declare Focal_35 = 27.3;
#declare Exposure = 1.1;
#declare Tint = <0.96, 1, 1.05>;
#include "panel.inc"

Camera(<30, 36, 0>, 380, 4, 190, -3)
Lamp(100, 62, 220, <0.94, 0.97, 1>*0.55)
Room_light(20, <0.95, 0.98, 1>*0.22)

Plastic(<0.11, 0.112, 0.116>, 0.2, 0)
Outline(array[6] {<-68, -62>, <150, -66>, <166, -20>, <84, 138>, <30, 158>, <-66, 62>}, 16, 7)
Grille(<60, 70>, 41.6, 0, 0)
Mounting_hole(<28.2, 84.9>, 3.4)
Mounting_hole(<97.8, 50.6>, 3.4)

Slot(<112, -42>, 14, 6, 8)
Window(<-50, 44>, 12, 5, 62)
Stray_hole(<128, -6>, 6.5)
Stray_hole(<44, 128>, 5)
Post(<66, -46>, 5, 6)
Rib(<46, -60>, <46, -18>, 1.4, 4)
Rib(<76, 16>, <124, -16>, 1.4, 4)
Mould_mark(<86, -14>, 9)
Panel()

Mesh(<60, 70>, 43, 1.0, 2.0, 1.35, 5, <0.04, 0.04, 0.04>)
Backlight(<60, 70>, 60, 5, <0.90, 0.95, 1.0>*0.85)
Square(6, 60, 60, <0, 0>, 0)
Bench(14, Mat(<0.34, 0.34, 0.33>))
Write_truth()
